// SPDX-License-Identifier: MIT
#include "base/csv.h"
#include "base/date_time.h"
#include "calibration/calibration_files.h"
#include "fuzz/target.h"
#include "geometry/sightings_file.h"
#include "pairing/outcomes.h"
#include "pairing/sample.h"
#include "pairing/trial_sheet.h"
#include "pipeline/profile.h"
#include "quality/trial_table.h"
#include "session/feeds_file.h"
#include "session/flights_file.h"
#include "session/sample_sheet.h"
#include "session/session_record.h"
#include "session/tagged_file.h"

namespace evenfeed::fuzz {
namespace {

const std::string kInput = "tests/cli/input/";

void read_cells(const CsvTable& table) {
  for (std::size_t r = 0; r < table.rows(); ++r) {
    for (std::size_t c = 0; c < table.header().size(); ++c) {
      (void)table.number(r, c);
    }
  }
}

// What is written from it reads back alike.
void write_back(const CsvTable& table) {
  CsvWriter out(table.header());
  for (std::size_t r = 0; r < table.rows(); ++r) out.add_row(table.row(r));
  const CsvTable again = CsvTable::parse(out.text(), "again");
  if (again.header() != table.header() || again.rows() != table.rows()) {
    throw std::runtime_error("written and read, a table is another");
  }
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (again.row(r) != table.row(r)) {
      throw std::runtime_error("written and read, a row is another");
    }
  }
}

Samples two_samples(const CsvTable& table) {
  return read_samples({table, table}, {"K", "M"}, {"x_mm"}, false, {});
}

void split(const CsvTable& sheet) {
  static const CsvTable feeds =
      CsvTable::parse("feed,x_mm\n1,650\n2,651\n3,652\n4,649\n", "feeds.csv");
  require_one_sample_a_feed(sheet);
  for (const std::string& name : samples_in_order(sheet)) {
    (void)feeds_of_sample(feeds, sheet, name);
  }
}

Target of(const std::string& name,
          const std::vector<std::string>& seeds,
          void (*read)(const CsvTable&)) {
  Target target{name, {}, [read](const std::string& bytes) {
                  read(CsvTable::parse(bytes, "input.csv"));
                }};
  for (const std::string& one : seeds) target.seeds.push_back(kInput + one);
  return target;
}

}  // namespace

std::vector<Target> csv_targets() {
  const std::vector<std::string> feeds = {"sheet-K.csv",
                                          "one-feed/feeds.csv",
                                          "kept-session/tagged.csv",
                                          "semicolons.csv"};
  std::vector<Target> all;
  all.push_back(of("csv", feeds, [](const CsvTable& table) {
    write_back(table);
    read_cells(table);
  }));
  all.push_back(of("feeds", feeds, [](const CsvTable& table) {
    (void)feeds_text(read_feeds(table));
  }));
  all.push_back(of("tagged",
                   {"kept-session/tagged.csv"},
                   [](const CsvTable& table) { (void)read_tagged(table); }));
  all.push_back(of(
      "trial", feeds, [](const CsvTable& table) { (void)read_trial(table); }));
  all.push_back(of("samples",
                   {"sheet-K.csv", "kept-session/tagged.csv"},
                   [](const CsvTable& table) { (void)two_samples(table); }));
  all.push_back(of(
      "outcomes", {"outcomes-K.csv", "sheet-M.csv"}, [](const CsvTable& table) {
        static const Samples samples = two_samples(
            CsvTable::read(EVENFEED_ROOT "/tests/cli/input/sheet-K.csv"));
        (void)read_outcomes(samples.all, {table, table}, true, {});
      }));
  all.push_back(of("order", {"order.csv", "order-twice.csv"}, split));
  all.push_back(of("sheet", {"samples.csv"}, [](const CsvTable& table) {
    (void)read_sample_sheet(table);
  }));
  all.push_back(of("sightings",
                   {"bad-sightings.csv", "no-time.csv"},
                   [](const CsvTable& table) {
                     (void)sightings_text(read_sightings(table));
                   }));
  all.push_back({"flights",
                 {"tests/fuzz/seeds/flights.csv"},
                 [](const std::string& bytes) {
                   (void)flights_text(
                       read_flights(CsvTable::parse(bytes, "flights.csv")));
                 }});
  all.push_back(
      {"points", {"tests/fuzz/seeds/points.csv"}, [](const std::string& bytes) {
         static const Profile profile =
             load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
         (void)parse_marks(bytes, "points.csv", profile.surface);
       }});
  all.push_back(
      {"words", {"tests/fuzz/seeds/words.txt"}, [](const std::string& bytes) {
         (void)parse_date_time(bytes);
         (void)parse_property(bytes);
       }});
  return all;
}

}  // namespace evenfeed::fuzz
