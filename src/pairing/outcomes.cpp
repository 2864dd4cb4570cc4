// SPDX-License-Identifier: MIT
#include "pairing/outcomes.h"

#include "base/error.h"
#include "base/nan.h"
#include "session/feeds_file.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

bool starts_with(std::string_view text, std::string_view start) {
  return text.substr(0, start.size()) == start;
}

std::optional<double> yes_or_no(const std::string& field) {
  std::string word;
  for (const char c : field) {
    if (c != ' ' && c != '\t') {
      word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
  }
  if (word == "yes" || word == "true") return 1;
  if (word == "no" || word == "false") return 0;
  return std::nullopt;
}

double field_value(const CsvTable& table, std::size_t row, std::size_t column) {
  if (const auto word = yes_or_no(table.text(row, column))) return *word;
  return table.number(row, column).value_or(kNaN);
}

// Whether it is a column of values. Throws when most fields of it are, so that
// the others are slips; a column of words is none.
bool readable(const CsvTable& table, std::size_t column) {
  std::size_t filled = 0;
  std::size_t words = 0;
  std::optional<InputError> first;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    try {
      filled += !table.text(r, column).empty();
      field_value(table, r, column);
    } catch (const InputError& slip) {
      ++words;
      if (!first) first = slip;
    }
  }
  if (first && 2 * words <= filled) throw *first;
  return !first;
}

// Where each feed stands in a file.
std::map<int, std::size_t> rows_by_feed(const CsvTable& table) {
  const std::size_t column = table.require_column("feed");
  std::map<int, std::size_t> rows;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const int number = feed_number(table, r, column);
    if (!rows.emplace(number, r).second) {
      throw InputError(table.place(r, column),
                       fmt::format("feed {} stands twice", number),
                       "Give each feed one row");
    }
  }
  return rows;
}

struct Column {
  Eigen::VectorXd values;
  Eigen::VectorXd sigmas;
};

Column read_column(const Sample& sample,
                   const CsvTable& table,
                   const std::map<int, std::size_t>& rows,
                   const std::string& name) {
  const bool derived =
      name == kBounceToContact && !table.column(name).has_value();
  const std::size_t column =
      table.require_column(derived ? "t_contact_s" : name);
  const std::size_t from = table.require_column(derived ? "t_bounce_s" : name);
  const auto sigma = table.column("s_" + (derived ? "t_contact_s" : name));
  Column result{Eigen::VectorXd::Constant(sample.size(), kNaN),
                Eigen::VectorXd::Zero(sample.size())};
  for (int i = 0; i < sample.size(); ++i) {
    const auto found = rows.find(sample.feeds[static_cast<std::size_t>(i)]);
    if (found == rows.end()) continue;
    const std::size_t r = found->second;
    result.values(i) = field_value(table, r, column);
    if (derived) result.values(i) -= field_value(table, r, from);
    if (sigma) {
      result.sigmas(i) = std::max(0.0, table.number(r, *sigma).value_or(0));
    }
  }
  return result;
}

// Readings that tell less than all readings together do; how many.
int leave_out_unsure(Column& column) {
  constexpr std::size_t kEnough = 8;
  const std::vector<double> known = finite_only(
      {column.values.data(), static_cast<std::size_t>(column.values.size())});
  if (known.size() < kEnough) return 0;
  const double spread = median_absolute_deviation(known);
  int unsure = 0;
  for (Eigen::Index i = 0; i < column.values.size(); ++i) {
    if (!(spread > 0) || !(column.sigmas(i) > spread)) continue;
    if (!std::isfinite(column.values(i))) continue;
    column.values(i) = kNaN;
    ++unsure;
  }
  return unsure;
}

OutcomeKind kind_of(const Outcome& outcome) {
  for (const Eigen::VectorXd& values : outcome.values) {
    for (const double x : values) {
      if (std::isfinite(x) && x != 0 && x != 1) return OutcomeKind::kNumber;
    }
  }
  return OutcomeKind::kYesNo;
}

// What is compared when nothing is named: what any of the files has.
std::vector<std::string> default_names(const std::vector<CsvTable>& tables,
                                       bool outcome_files,
                                       std::vector<std::string>& warnings) {
  std::vector<std::string> names;
  std::vector<std::string> refused;
  const auto has = [](const std::vector<std::string>& list,
                      const std::string& name) {
    return std::find(list.begin(), list.end(), name) != list.end();
  };
  for (const CsvTable& table : tables) {
    for (std::size_t c = 0; c < table.header().size(); ++c) {
      const std::string& name = table.header()[c];
      if (name == "feed" || starts_with(name, "s_")) continue;
      if (!outcome_files && !starts_with(name, "ret_")) continue;
      if (has(refused, name)) continue;
      if (!readable(table, c)) {
        warnings.push_back(
            fmt::format("{} of {} is not compared: it holds neither numbers "
                        "nor yes and no.",
                        name,
                        table.name()));
        refused.push_back(name);
        std::erase(names, name);
      } else if (!has(names, name)) {
        names.push_back(name);
      }
    }
  }
  return names;
}

// Of one outcome, the samples no usable feed of which has it.
struct ReadOutcome {
  Outcome outcome;
  std::vector<std::string> warnings;
  std::vector<std::size_t> unknown_in;
};

// A session does not tell by how much its returns are off alike; their speed
// was off by 0.005 to 0.012 m/s in films of known truth.
double film_error(const Sample& sample, const std::string& name) {
  constexpr double kReturnSpeed_mps = 0.010;
  const double told = sample.shared_in(name);
  if (told > 0 || sample.shared.empty()) return told;
  return name == "ret_speed_mps" ? kReturnSpeed_mps : 0;
}

ReadOutcome read_outcome(const std::vector<Sample>& samples,
                         const std::vector<CsvTable>& tables,
                         const std::vector<std::map<int, std::size_t>>& rows,
                         const std::string& name,
                         bool must_be_there) {
  ReadOutcome read;
  read.outcome.name = name;
  for (std::size_t s = 0; s < samples.size(); ++s) {
    Column column{Eigen::VectorXd::Constant(samples[s].size(), kNaN),
                  Eigen::VectorXd::Zero(samples[s].size())};
    if (must_be_there || tables[s].column(name)) {
      column = read_column(samples[s], tables[s], rows[s], name);
    }
    const int unsure = leave_out_unsure(column);
    if (unsure > 0) {
      read.warnings.push_back(fmt::format(
          "{} of {} readings of {} of {} not compared: their own uncertainty "
          "is larger than the spread of all.",
          unsure,
          samples[s].size(),
          name,
          samples[s].name));
    }
    if (!column.values.array().isFinite().any()) read.unknown_in.push_back(s);
    read.outcome.shared.push_back(film_error(samples[s], name));
    read.outcome.values.push_back(std::move(column.values));
    read.outcome.sigmas.push_back(std::move(column.sigmas));
  }
  read.outcome.kind = kind_of(read.outcome);
  return read;
}

}  // namespace

Outcomes read_outcomes(const std::vector<Sample>& samples,
                       const std::vector<CsvTable>& tables,
                       bool outcome_files,
                       const std::vector<std::string>& wanted) {
  Outcomes result;
  const bool named = !wanted.empty();
  const std::vector<std::string> names =
      named ? wanted : default_names(tables, outcome_files, result.warnings);
  std::vector<std::map<int, std::size_t>> rows;
  for (const CsvTable& table : tables) rows.push_back(rows_by_feed(table));
  std::optional<InputError> first;
  for (const std::string& name : names) {
    ReadOutcome read = read_outcome(samples, tables, rows, name, named);
    if (read.unknown_in.empty()) {
      result.warnings.insert(
          result.warnings.end(), read.warnings.begin(), read.warnings.end());
      result.all.push_back(std::move(read.outcome));
      continue;
    }
    const std::size_t s = read.unknown_in.front();
    const std::string why =
        fmt::format("'{}' is not known for any feed of {} that may be used",
                    name,
                    samples[s].name);
    const InputError error(
        tables[s].name(),
        why,
        "Check that its feed numbers are those of the feeds file");
    if (named) throw error;
    if (!first) first = error;
    // A column of the program's own that is empty everywhere is no news.
    if (!outcome_files && read.unknown_in.size() == samples.size()) continue;
    result.warnings.push_back(
        fmt::format("Not compared: {} is not known for any feed of {} that may "
                    "be used.",
                    outcome_words(name),
                    samples[s].name));
  }
  if (outcome_files && result.all.empty() && first) throw InputError(*first);
  return result;
}

std::string outcome_words(const std::string& name) {
  static const std::map<std::string_view, const char*> kKnown{
      {kBounceToContact, "time from bounce to contact"},
      {"ret_angle_deg", "angle of the return"},
      {"ret_apex_mm", "highest point of the return"},
      {"ret_apex_x_mm", "place of the return's highest point along the table"},
      {"ret_t_net_s", "time of the return to the net"},
      {"ret_net_height_mm", "height of the return at the net"},
      {"ret_x_mm", "landing of the return along the table"},
      {"ret_y_mm", "landing of the return across the table"}};
  if (const auto known = kKnown.find(name); known != kKnown.end()) {
    return known->second;
  }
  std::string words = name;
  static constexpr std::array<std::string_view, 8> kUnits{
      "_mmps", "_revps", "_mps", "_deg", "_mm", "_ms", "_s", "_px"};
  for (const std::string_view unit : kUnits) {
    if (words.size() > unit.size() &&
        std::string_view(words).substr(words.size() - unit.size()) == unit) {
      words.resize(words.size() - unit.size());
      break;
    }
  }
  if (starts_with(words, "ret_")) words = "return_" + words.substr(4);
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

}  // namespace evenfeed
