// SPDX-License-Identifier: MIT
#include "pairing/outcomes.h"

#include "base/error.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

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
  return table.number(row, column).value_or(kNan);
}

// Whether every field is one we understand.
bool readable(const CsvTable& table, std::size_t column) {
  try {
    for (std::size_t r = 0; r < table.rows(); ++r) {
      field_value(table, r, column);
    }
    return true;
  } catch (const InputError&) {
    return false;
  }
}

// Where each feed stands in a file.
std::map<int, std::size_t> rows_by_feed(const CsvTable& table) {
  const std::size_t column = table.require_column("feed");
  std::map<int, std::size_t> rows;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const double number = table.require_number(r, column);
    if (number != std::floor(number) || std::abs(number) > 1e9) {
      throw InputError(table.place(r, column),
                       fmt::format("{} is not a whole number", number),
                       "Use the feed numbers of the feeds file");
    }
    if (!rows.emplace(static_cast<int>(number), r).second) {
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
  Column result{Eigen::VectorXd::Constant(sample.size(), kNan),
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

OutcomeKind kind_of(const Outcome& outcome) {
  for (const Eigen::VectorXd& values : outcome.values) {
    for (const double x : values) {
      if (std::isfinite(x) && x != 0 && x != 1) return OutcomeKind::kNumber;
    }
  }
  return OutcomeKind::kYesNo;
}

// What is compared when nothing is named.
std::vector<std::string> default_names(const CsvTable& table,
                                       bool outcome_file,
                                       std::vector<std::string>& warnings) {
  std::vector<std::string> names;
  for (std::size_t c = 0; c < table.header().size(); ++c) {
    const std::string& name = table.header()[c];
    if (name == "feed" || starts_with(name, "s_")) continue;
    if (!outcome_file && !starts_with(name, "ret_")) continue;
    if (readable(table, c)) {
      names.push_back(name);
    } else {
      warnings.push_back(fmt::format(
          "{} of {} is not compared: it holds neither numbers nor yes and no.",
          name,
          table.name()));
    }
  }
  return names;
}

}  // namespace

Outcomes read_outcomes(const std::vector<Sample>& samples,
                       const std::vector<CsvTable>& tables,
                       bool outcome_files,
                       const std::vector<std::string>& wanted) {
  Outcomes result;
  std::vector<std::string> names = wanted;
  if (names.empty()) {
    names = default_names(tables[0], outcome_files, result.warnings);
  }
  std::vector<std::map<int, std::size_t>> rows;
  for (const CsvTable& table : tables) rows.push_back(rows_by_feed(table));
  for (const std::string& name : names) {
    Outcome outcome;
    outcome.name = name;
    for (std::size_t s = 0; s < samples.size(); ++s) {
      Column column = read_column(samples[s], tables[s], rows[s], name);
      if (!column.values.array().isFinite().any()) {
        throw InputError(
            tables[s].name(),
            fmt::format("'{}' is not known for any feed of {} that may be used",
                        name,
                        samples[s].name),
            "Check that its feed numbers are those of the feeds file");
      }
      outcome.values.push_back(std::move(column.values));
      outcome.sigmas.push_back(std::move(column.sigmas));
    }
    outcome.kind = kind_of(outcome);
    result.all.push_back(std::move(outcome));
  }
  return result;
}

std::string outcome_words(const std::string& name) {
  if (name == kBounceToContact) return "time from bounce to contact";
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
