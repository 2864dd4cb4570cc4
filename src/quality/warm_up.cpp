// SPDX-License-Identifier: MIT
#include "quality/warm_up.h"

#include "quality/clean_series.h"
#include "quality/trial_table.h"
#include "quality/turning.h"
#include "stats/autocorrelation.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Upper confidence bound of an sd over the sd estimated with `degrees`.
double sd_bound_factor(double confidence, double degrees) {
  return std::sqrt(degrees / chi_squared_quantile(1 - confidence, degrees));
}

// Further feeds until a standard error that falls with n^(-3/2) has room.
int feeds_until(int n, double reach, double room) {
  if (!(room > 0)) return 0;
  const double needed = n * std::pow(reach / room, 2.0 / 3);
  return needed < 10 * n ? static_cast<int>(std::ceil(needed)) - n : 0;
}

// As many of the last feeds tell of now.
constexpr int kHistory = 240;

std::string settling_words(const Settling& settling) {
  return settling.certain ? fmt::format(
                                " (it settles with a time of {:.0f} "
                                "feeds)",
                                settling.tau)
                          : "";
}

std::string more(int feeds) {
  if (feeds <= 0) return "";
  return fmt::format(
      "; about {} more {}", feeds, feeds == 1 ? "feed" : "feeds");
}

}  // namespace

struct WarmUp::Series : CleanSeries {
  using CleanSeries::CleanSeries;
};

WarmUp::WarmUp(std::vector<std::string> characteristics,
               const QualityOptions& options)
    : names_(std::move(characteristics)),
      options_(options.warm_up),
      tolerances_(options.tolerances) {
  options_.check();
  // Phase I needs a few more feeds than twice the characteristics.
  const int fewest = 3 * static_cast<int>(names_.size()) + 3;
  options_.window = std::max(options_.window, fewest);
  options_.longest_window = std::max(options_.longest_window, options_.window);
}

void WarmUp::add(const Eigen::VectorXd& values) {
  rows_.push_back(values);
  judged_ = false;
}

const WarmUpState& WarmUp::state() {
  if (!judged_) judge();
  judged_ = true;
  return state_;
}

void WarmUp::judge() {
  state_ = {};
  state_.last = static_cast<int>(rows_.size()) - 1;
  const int measured = measured_since(0);
  if (measured < options_.window) {
    HoldBack hold;
    hold.value = measured;
    hold.limit = options_.window;
    hold.more_feeds = options_.window - measured;
    hold.text = fmt::format(
        "too few feeds to tell: {} measured, at least {} are needed",
        measured,
        options_.window);
    state_.holding_back.push_back(hold);
    return;
  }
  const std::vector<Series> series = clean_series();
  fit_settlings(series);
  const Start start = find_start(series);
  state_.first = start.first;
  if (!start.steady) {
    report_moving(series, start.first);
    if (state_.holding_back.empty()) report_settling(series);
    return;
  }
  for (int j = 0; j < static_cast<int>(series.size()); ++j) {
    const Series& one = series[static_cast<std::size_t>(j)];
    if (const auto hold = movement_of(one, j, start.first)) {
      state_.holding_back.push_back(*hold);
    }
    judge_spread(one, j, start.first);
  }
  state_.ready = state_.holding_back.empty();
}

int WarmUp::last_row() const { return static_cast<int>(rows_.size()) - 1; }

int WarmUp::measured_since(int first) const {
  if (first >= static_cast<int>(rows_.size())) return 0;
  return static_cast<int>(std::count_if(
      rows_.begin() + first, rows_.end(), [](const Eigen::VectorXd& row) {
        return row.array().isFinite().any();
      }));
}

std::vector<WarmUp::Series> WarmUp::clean_series() const {
  std::vector<Series> series;
  for (int j = 0; j < static_cast<int>(names_.size()); ++j) {
    std::vector<double> values;
    values.reserve(rows_.size());
    for (const Eigen::VectorXd& row : rows_) values.push_back(row(j));
    series.emplace_back(values);
  }
  return series;
}

void WarmUp::fit_settlings(const std::vector<Series>& series) {
  for (const Series& one : series) {
    state_.settling.push_back(
        fit_settling(one.values(), options_.horizon_feeds, look_confidence()));
  }
}

// Of one look; see the header.
double WarmUp::look_confidence() const {
  constexpr double kFirstLooks = 1.25;  // times the shortest window
  const double n = measured_since(0);
  const double ratio = std::min(1.0, kFirstLooks * options_.window / n);
  return 1 - (1 - options_.confidence) * ratio * ratio * ratio;
}

// Of |t| in the tests for a change among n values.
double WarmUp::change_limit(int n) const {
  constexpr int kTests = 4;
  const double level =
      options_.significance / (kTests * static_cast<double>(names_.size()));
  const auto k = static_cast<std::size_t>(n);
  if (change_limits_.size() <= k) change_limits_.resize(k + 1, 0);
  if (change_limits_[k] == 0) {
    change_limits_[k] = student_t_quantile(1 - level / 2, n - 2);
  }
  return change_limits_[k];
}

bool WarmUp::moves(const Series& series, int first, int last) const {
  const StretchFit line = series.fit(first, last);
  if (line.n < 5) return false;
  const double critical = change_limit(line.n);
  const int length = last - first + 1;
  double largest = std::abs(series.split_t(first, first + 5, last));
  largest = std::max(largest,
                     std::abs(series.split_t(first, first + length / 3, last)));
  if (line.slope_se > 0) {
    largest = std::max(largest, std::abs(line.slope / line.slope_se));
  } else if (line.slope != 0) {
    return true;
  }
  if (largest > critical &&
      largest >
          critical * error_inflation(series.credible_memory(first, last))) {
    return true;
  }
  return std::abs(series.bend(first, last).t) > critical;
}

// The first row at which a settling that is certain has come down to the
// scatter of single feeds.
int WarmUp::settled_from(const Series& series, int j) const {
  const Settling& settling = state_.settling[static_cast<std::size_t>(j)];
  const double scatter = series.short_term_sd(0, state_.last);
  const double over = std::abs(settling.amplitude) / scatter;
  // Of a curve that has not come down yet the rest is guessed: a drift.
  const bool seen = 2 * settling.tau <= state_.last - settling.first;
  if (!settling.certain || !seen || !(scatter > 0) || !(over > 1)) return 0;
  return settling.first +
         static_cast<int>(std::ceil(settling.tau * std::log(over)));
}

int WarmUp::settled_from(const std::vector<Series>& series) const {
  int from = 0;
  for (int j = 0; j < static_cast<int>(series.size()); ++j) {
    from = std::max(from, settled_from(series[static_cast<std::size_t>(j)], j));
  }
  return from;
}

// The start of the longest window without a change; of the shortest window
// when there is none.
WarmUp::Start WarmUp::find_start(const std::vector<Series>& series) const {
  const int last = state_.last;
  Start start;
  start.first = std::max(0, last + 1 - options_.window);
  for (int first = std::max(
           {0, last + 1 - options_.longest_window, settled_from(series)});
       measured_since(first) >= options_.window;
       ++first) {
    start.first = first;
    start.steady =
        std::none_of(series.begin(), series.end(), [&](const Series& one) {
          return moves(one, first, last);
        });
    if (start.steady) break;
  }
  return start;
}

const Tolerance* WarmUp::tolerance(int j) const {
  for (const Tolerance& one : tolerances_) {
    if (one.characteristic == names_[static_cast<std::size_t>(j)]) return &one;
  }
  return nullptr;
}

// Allowed movement of the mean over the horizon.
double WarmUp::drift_limit(const Series& series, int j, int first) const {
  const Tolerance* own = tolerance(j);
  if (own != nullptr && std::isfinite(own->drift)) return own->drift;
  return options_.drift_own_sd *
         std::min(series.fit(first, last_row()).residual_sd,
                  series.short_term_sd(first, last_row()));
}

std::optional<HoldBack> WarmUp::movement_of(const Series& series,
                                            int j,
                                            int first) const {
  const TurnLimit limit = turn_limit(series, j, first);
  const std::vector<double>& all = series.values();
  if (auto swing = swing_hold({all.begin() + first, all.end()}, 1, limit)) {
    return swing;
  }
  const int from = std::max(0, static_cast<int>(all.size()) - kHistory);
  if (auto swing = crest_hold({all.begin() + from, all.end()}, limit)) {
    return swing;
  }
  if (auto drift = drift_of(series, j, first)) return drift;
  return bend_hold(series, first, last_row(), limit);
}

TurnLimit WarmUp::turn_limit(const Series& series, int j, int first) const {
  TurnLimit limit;
  limit.characteristic = j;
  limit.name = names_[static_cast<std::size_t>(j)];
  limit.most = drift_limit(series, j, first);
  limit.horizon_feeds = options_.horizon_feeds;
  limit.significance =
      options_.significance / static_cast<double>(names_.size());
  return limit;
}

std::vector<HoldBack> WarmUp::swings_since(int first) const {
  std::vector<HoldBack> swings;
  const std::vector<Series> series = clean_series();
  first = std::max(first, static_cast<int>(rows_.size()) - kHistory);
  for (int j = 0; j < static_cast<int>(series.size()); ++j) {
    const Series& one = series[static_cast<std::size_t>(j)];
    if (const auto swing =
            swing_hold({one.values().begin() + first, one.values().end()},
                       2,
                       turn_limit(one, j, first))) {
      swings.push_back(*swing);
    }
  }
  return swings;
}

std::optional<HoldBack> WarmUp::drift_of(const Series& series,
                                         int j,
                                         int first) const {
  const std::string& name = names_[static_cast<std::size_t>(j)];
  const StretchFit line = series.fit(first, state_.last);
  HoldBack hold;
  hold.kind = HoldBackKind::kDriftUnknown;
  hold.characteristic = j;
  if (line.n < 5) {
    hold.value = line.n;
    hold.text = fmt::format("{} is known for too few feeds",
                            characteristic_words(name));
    return hold;
  }
  hold.limit = drift_limit(series, j, first);
  const double move = std::abs(line.slope) * options_.horizon_feeds;
  const double reach =
      student_t_quantile(look_confidence(), line.n - 2) * line.slope_se *
      error_inflation(series.credible_memory(first, state_.last)) *
      options_.horizon_feeds;
  const Settling& settling = state_.settling[static_cast<std::size_t>(j)];
  hold.value = move + reach;
  hold.more_feeds = feeds_until(line.n, reach, hold.limit - move);
  if (settling.fits && settling.movement > hold.value) {
    hold.value = settling.movement;
    hold.more_feeds = settling.feeds_until(hold.limit);
  }
  if (hold.value <= hold.limit) return std::nullopt;
  hold.text = fmt::format(
      "{} may still drift by up to {} over the next {:.0f} feeds, allowed is "
      "{}{}",
      characteristic_words(name),
      characteristic_value(name, hold.value),
      options_.horizon_feeds,
      characteristic_value(name, hold.limit),
      more(hold.more_feeds));
  return hold;
}

void WarmUp::judge_spread(const Series& series, int j, int first) {
  const std::string& name = names_[static_cast<std::size_t>(j)];
  const StretchFit whole = series.fit(first, state_.last);
  if (whole.n < 8) return;
  HoldBack hold;
  hold.characteristic = j;
  const Tolerance* own = tolerance(j);
  if (own != nullptr && std::isfinite(own->spread)) {
    const double bound =
        whole.residual_sd * sd_bound_factor(look_confidence(), whole.n - 2);
    hold.limit = own->spread;
    hold.value = whole.residual_sd > hold.limit ? whole.residual_sd : bound;
    if (bound > hold.limit) {
      const bool wide = whole.residual_sd > hold.limit;
      hold.kind =
          wide ? HoldBackKind::kSpreadWide : HoldBackKind::kSpreadUnknown;
      hold.text = fmt::format("the spread of {} {} {} (sd), allowed is {}",
                              characteristic_words(name),
                              wide ? "is" : "could still be",
                              characteristic_value(name, hold.value),
                              characteristic_value(name, hold.limit));
      state_.holding_back.push_back(hold);
      return;
    }
  }
  const int split = first + (state_.last - first + 1) / 2;
  const StretchFit a = series.fit(first, split - 1);
  const StretchFit b = series.fit(split, state_.last);
  if (a.n < 5 || b.n < 5 || !(a.residual_sd > 0) || !(b.residual_sd > 0)) {
    return;
  }
  const double wider = std::max(a.residual_sd, b.residual_sd);
  const double narrower = std::min(a.residual_sd, b.residual_sd);
  const double level =
      options_.significance / (2 * static_cast<double>(names_.size()));
  const double ratio = wider * wider / (narrower * narrower);
  const bool second_wider = b.residual_sd > a.residual_sd;
  if (ratio <= f_upper(level,
                       (second_wider ? b.n : a.n) - 2,
                       (second_wider ? a.n : b.n) - 2)) {
    return;
  }
  hold.kind = HoldBackKind::kSpreadChanging;
  hold.value = b.residual_sd;
  hold.limit = a.residual_sd;
  hold.text = fmt::format(
      "the spread of {} is still changing: sd {} in the first half of the "
      "last {} feeds, {} in the second",
      characteristic_words(name),
      characteristic_value(name, a.residual_sd),
      state_.last - first + 1,
      characteristic_value(name, b.residual_sd));
  state_.holding_back.push_back(hold);
}

// Nothing moves any more that could be seen, but the window would begin in the
// tail of a settling.
void WarmUp::report_settling(const std::vector<Series>& series) {
  for (int j = 0; j < static_cast<int>(series.size()); ++j) {
    const int from = settled_from(series[static_cast<std::size_t>(j)], j);
    const int have = from <= state_.last ? measured_since(from) : 0;
    if (from == 0 || have >= options_.window) continue;
    HoldBack hold;
    hold.kind = HoldBackKind::kMoving;
    hold.characteristic = j;
    hold.value = state_.settling[static_cast<std::size_t>(j)].ahead;
    hold.more_feeds = from + options_.window - 1 - state_.last;
    hold.text = fmt::format(
        "{} has hardly come to rest{}{}",
        characteristic_words(names_[static_cast<std::size_t>(j)]),
        settling_words(state_.settling[static_cast<std::size_t>(j)]),
        more(hold.more_feeds));
    state_.holding_back.push_back(hold);
  }
}

void WarmUp::report_moving(const std::vector<Series>& series, int first) {
  for (int j = 0; j < static_cast<int>(series.size()); ++j) {
    const Series& one = series[static_cast<std::size_t>(j)];
    if (!moves(one, first, state_.last)) continue;
    const std::string& name = names_[static_cast<std::size_t>(j)];
    const StretchFit line = one.fit(first, state_.last);
    HoldBack hold;
    hold.kind = HoldBackKind::kMoving;
    hold.characteristic = j;
    hold.value = line.slope;
    hold.limit = drift_limit(one, j, first) / options_.horizon_feeds;
    const Settling& settling = state_.settling[static_cast<std::size_t>(j)];
    hold.more_feeds = settling.feeds_until(hold.limit * options_.horizon_feeds);
    const int length = state_.last - first + 1;
    hold.text = std::abs(line.slope) > hold.limit
                    ? fmt::format(
                          "{} still moves by {} per feed over the last {} "
                          "feeds, allowed is {}{}{}",
                          characteristic_words(name),
                          characteristic_value(name, line.slope),
                          length,
                          characteristic_value(name, hold.limit),
                          more(hold.more_feeds),
                          settling_words(settling))
                    : fmt::format(
                          "{} is not steady yet: it changed within the last "
                          "{} feeds",
                          characteristic_words(name),
                          length);
    state_.holding_back.push_back(hold);
  }
}

}  // namespace evenfeed
