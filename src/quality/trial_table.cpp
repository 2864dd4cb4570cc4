// SPDX-License-Identifier: MIT
#include "quality/trial_table.h"

#include "base/error.h"
#include "base/nan.h"
#include "flight/characteristics.h"
#include "session/feeds_file.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::vector<int> feed_numbers(const CsvTable& table) {
  const std::size_t column = table.require_column("feed");
  std::vector<int> numbers;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const int value = feed_number(table, r, column);
    if (!numbers.empty() && value <= numbers.back()) {
      throw InputError(
          table.place(r, column),
          fmt::format("feed {} comes after feed {}", value, numbers.back()),
          "Sort the rows by feed and give each feed one row; the order of time "
          "is what a chart is about");
    }
    numbers.push_back(value);
  }
  return numbers;
}

// A clock that goes back within a session: rows of two files, or a film cut
// together. Balls in the air at the same time may overtake each other.
void require_time_goes_on(const CsvTable& table) {
  const auto column = table.column("t_bounce_s");
  if (!column) return;
  constexpr double kLongestFlight_s = 2;
  std::optional<double> last;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const std::optional<double> t_s = table.number(r, *column);
    if (t_s && last && *t_s < *last - kLongestFlight_s) {
      throw InputError(table.place(r, *column),
                       fmt::format("{} comes after {}", *t_s, *last),
                       "Put the rows in order of time, one session a file");
    }
    if (t_s) last = t_s;
  }
}

std::vector<std::string> unmeasured_rows(const CsvTable& table) {
  std::vector<std::string> reasons(table.rows());
  const auto status = table.column("status");
  const auto note = table.column("note");
  if (!status) return reasons;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const std::string& word = table.text(r, *status);
    if (!word.empty() && !find_status(word)) {
      throw InputError(table.place(r, *status),
                       fmt::format("'{}' is not a status", word),
                       "Allowed: measured, extrapolated, unmeasured");
    }
    if (word != "unmeasured") continue;
    reasons[r] = note ? table.text(r, *note) : "";
    if (reasons[r].empty()) reasons[r] = "no reason given";
  }
  return reasons;
}

std::vector<std::string> ball_names(const CsvTable& table) {
  const auto column = table.column("ball");
  std::vector<std::string> names;
  if (!column) return names;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    names.push_back(table.text(r, *column));
  }
  return names;
}

// s_<name>, or s<name> as for the landing point.
std::optional<std::size_t> sigma_column(const CsvTable& table,
                                        const std::string& name) {
  if (const auto id = find_characteristic(name)) {
    return table.column(info(*id).sigma_column);
  }
  const auto column = table.column("s_" + name);
  return column ? column : table.column("s" + name);
}

Eigen::VectorXd read_column(const CsvTable& table,
                            std::optional<std::size_t> column,
                            const std::vector<std::string>& unmeasured) {
  Eigen::VectorXd values =
      Eigen::VectorXd::Constant(static_cast<int>(table.rows()), kNaN);
  if (!column) return values;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    if (!unmeasured[r].empty()) continue;
    values(static_cast<int>(r)) = table.number(r, *column).value_or(kNaN);
  }
  return values;
}

Eigen::VectorXd read_sigmas(const CsvTable& table,
                            std::optional<std::size_t> column,
                            const std::vector<std::string>& unmeasured) {
  const Eigen::VectorXd sigmas = read_column(table, column, unmeasured);
  for (int r = 0; r < sigmas.size(); ++r) {
    if (!(sigmas[r] < 0)) continue;
    throw InputError(table.place(static_cast<std::size_t>(r), *column),
                     fmt::format("{} is below 0", sigmas[r]),
                     "A standard uncertainty is 0 or more");
  }
  return sigmas;
}

// Why a column cannot be judged; empty if it can.
std::string useless(const Eigen::VectorXd& values, std::size_t measured) {
  std::size_t known = 0;
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (const double x : values) {
    if (!std::isfinite(x)) continue;
    ++known;
    low = std::min(low, x);
    high = std::max(high, x);
  }
  if (2 * known < measured) {
    return fmt::format(
        "it is known for {} of {} measured feeds", known, measured);
  }
  if (known > 2 && low == high) return "it is the same for every feed";
  return "";
}

void require_characteristics(const std::vector<std::string>& names) {
  std::set<std::string> known;
  for (const std::string& name : names) {
    if (name == "feed") {
      throw UsageError(
          "characteristics: 'feed' is the number of a row, not something that "
          "was measured");
    }
    if (!known.insert(name).second) {
      throw UsageError(fmt::format(
          "characteristics: '{}' stands twice and would count twice", name));
    }
  }
}

void warn_about_gaps(const std::vector<int>& feeds,
                     std::vector<std::string>& warnings) {
  int missing = 0;
  for (std::size_t i = 1; i < feeds.size(); ++i) {
    missing += feeds[i] - feeds[i - 1] - 1;
  }
  if (missing > 0) {
    warnings.push_back(
        fmt::format("{} feed numbers between {} and {} have no row: feeds left "
                    "out of the file are not judged",
                    missing,
                    feeds.front(),
                    feeds.back()));
  }
}

}  // namespace

const std::vector<std::string>& default_characteristics() {
  static const std::vector<std::string> kNames{
      "x_mm", "y_mm", "speed_in_mps", "descent_deg"};
  return kNames;
}

TrialTable read_trial(const CsvTable& table,
                      const std::vector<std::string>& wanted,
                      Wanted how,
                      Gaps gaps) {
  TrialTable trial;
  if (table.rows() == 0) {
    throw InputError(table.name(),
                     "no feed stands below the header",
                     "Give a file with a row for each feed");
  }
  trial.feeds = feed_numbers(table);
  require_time_goes_on(table);
  trial.unmeasured = unmeasured_rows(table);
  trial.balls = ball_names(table);
  if (!table.note().empty()) trial.warnings.push_back(table.note());
  if (gaps == Gaps::kTell) warn_about_gaps(trial.feeds, trial.warnings);
  const auto measured = static_cast<std::size_t>(std::count(
      trial.unmeasured.begin(), trial.unmeasured.end(), std::string()));
  require_characteristics(wanted);
  std::vector<Eigen::VectorXd> values;
  std::vector<Eigen::VectorXd> sigmas;
  for (const std::string& name :
       wanted.empty() ? default_characteristics() : wanted) {
    const bool optional = wanted.empty() || how == Wanted::kIfPresent;
    if (optional && !table.column(name)) continue;
    const std::size_t column = table.require_column(name);
    Eigen::VectorXd one = read_column(table, column, trial.unmeasured);
    if (const std::string why = useless(one, measured); !why.empty()) {
      trial.warnings.push_back(fmt::format("{} is not judged: {}", name, why));
      continue;
    }
    trial.characteristics.push_back(name);
    values.push_back(std::move(one));
    sigmas.push_back(
        read_sigmas(table, sigma_column(table, name), trial.unmeasured));
  }
  if (trial.characteristics.empty()) {
    throw InputError(
        table.name(),
        fmt::format("no characteristic can be judged; the columns are {}",
                    fmt::join(table.header(), ", ")),
        "Name the columns to judge with --characteristics a,b,c");
  }
  trial.values.resize(trial.rows(), trial.columns());
  trial.sigmas.resize(trial.rows(), trial.columns());
  for (int j = 0; j < trial.columns(); ++j) {
    trial.values.col(j) = values[static_cast<std::size_t>(j)];
    trial.sigmas.col(j) = sigmas[static_cast<std::size_t>(j)];
  }
  for (int i = 0; i < trial.rows(); ++i) {
    std::string& why = trial.unmeasured[static_cast<std::size_t>(i)];
    if (why.empty() && !trial.values.row(i).array().isFinite().any()) {
      why = "none of the judged characteristics is known";
    }
  }
  return trial;
}

}  // namespace evenfeed
