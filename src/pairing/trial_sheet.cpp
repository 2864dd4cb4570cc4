// SPDX-License-Identifier: MIT
#include "pairing/trial_sheet.h"

#include "base/error.h"
#include "session/feeds_file.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// The columns of a sheet. A row without `feed` has its order for one.
class Sheet {
 public:
  explicit Sheet(const CsvTable& table)
      : table_(table),
        order_(table.require_column("order")),
        sample_(table.require_column("sample")),
        feed_(table.column("feed")) {}

  const std::string& sample(std::size_t row) const {
    return table_.text(row, sample_);
  }
  double order(std::size_t row) const {
    return table_.require_number(row, order_);
  }
  double feed(std::size_t row) const {
    const auto number = feed_ ? table_.number(row, *feed_) : std::nullopt;
    return number ? *number : order(row);
  }
  std::string place(std::size_t row) const {
    return table_.place(row, feed_.value_or(order_));
  }

 private:
  const CsvTable& table_;
  std::size_t order_;
  std::size_t sample_;
  std::optional<std::size_t> feed_;
};

// order by feed number
std::map<double, double> orders_of(const CsvTable& table,
                                   const std::string& sample) {
  const Sheet sheet(table);
  std::map<double, double> orders;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (sheet.sample(r) != sample) continue;
    const double number = sheet.feed(r);
    if (!orders.emplace(number, sheet.order(r)).second) {
      throw InputError(
          sheet.place(r),
          fmt::format("feed {} of {} stands twice", number, sample),
          "Give each feed one row");
    }
  }
  return orders;
}

}  // namespace

std::vector<std::string> samples_in_order(const CsvTable& sheet) {
  const std::size_t name = sheet.require_column("sample");
  std::vector<std::string> names;
  for (std::size_t r = 0; r < sheet.rows(); ++r) {
    const std::string& one = sheet.text(r, name);
    if (one.empty()) continue;
    if (std::find(names.begin(), names.end(), one) == names.end()) {
      names.push_back(one);
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

void require_one_sample_a_feed(const CsvTable& table) {
  const Sheet sheet(table);
  std::map<double, std::size_t> row_of;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (sheet.sample(r).empty()) continue;
    const auto [first, is_new] = row_of.emplace(sheet.feed(r), r);
    if (is_new || sheet.sample(first->second) == sheet.sample(r)) continue;
    throw InputError(sheet.place(r),
                     fmt::format("feed {} is of '{}' here and of '{}' in {}",
                                 sheet.feed(r),
                                 sheet.sample(r),
                                 sheet.sample(first->second),
                                 sheet.place(first->second)),
                     "Give each feed to one sample; count the feeds of the "
                     "whole trial, not those of each sample");
  }
}

std::vector<std::string> samples_told_in(const CsvTable& feeds) {
  const std::string mend =
      "Give a second feeds file, or the sheet that says which feed was whose "
      "(--order)";
  if (!feeds.column("sample")) {
    throw InputError(
        feeds.name(), "there is no column 'sample' to split it by", mend);
  }
  std::vector<std::string> names = samples_in_order(feeds);
  if (names.size() < 2) {
    throw InputError(feeds.name(),
                     names.empty()
                         ? "its column 'sample' is empty"
                         : fmt::format("all its feeds are of '{}'", names[0]),
                     mend);
  }
  return names;
}

CsvTable feeds_told_of(const CsvTable& feeds, const std::string& sample) {
  const std::size_t name = feeds.require_column("sample");
  const std::size_t number = feeds.require_column("feed");
  CsvWriter sheet({"order", "sample"});
  bool any = false;
  for (std::size_t r = 0; r < feeds.rows(); ++r) {
    any |= feeds.text(r, name) == sample;
    sheet.add_row({fmt::format("{}", feed_number(feeds, r, number)),
                   feeds.text(r, name)});
  }
  if (!any) {
    throw InputError(
        feeds.name(),
        fmt::format("no feed in it is of '{}'", sample),
        "--names takes names of its column 'sample': " +
            fmt::format("{}", fmt::join(samples_in_order(feeds), ", ")));
  }
  return feeds_of_sample(
      feeds, CsvTable::parse(sheet.text(), feeds.name()), sample);
}

int planned_trials(const CsvTable& sheet, const std::string& sample) {
  return static_cast<int>(orders_of(sheet, sample).size());
}

CsvTable feeds_of_sample(const CsvTable& feeds,
                         const CsvTable& sheet,
                         const std::string& sample) {
  const std::map<double, double> orders = orders_of(sheet, sample);
  const std::size_t number = feeds.require_column("feed");
  const auto had = feeds.column("order");
  std::vector<std::string> header = feeds.header();
  if (had) header[*had] = "order_in_file";
  header.emplace_back("order");
  CsvWriter out(header);
  int rows = 0;
  for (std::size_t r = 0; r < feeds.rows(); ++r) {
    const auto found = orders.find(feed_number(feeds, r, number));
    if (found == orders.end()) continue;
    std::vector<std::string> row = feeds.row(r);
    row.push_back(csv_number(found->second, 0));
    out.add_row(row);
    ++rows;
  }
  if (rows == 0) {
    throw InputError(
        sheet.name(),
        fmt::format("no feed of '{}' is in {}", sample, feeds.name()),
        "Check the columns sample and feed against the feeds "
        "file");
  }
  return CsvTable::parse(out.text(), feeds.name() + " (" + sample + ")");
}

}  // namespace evenfeed
