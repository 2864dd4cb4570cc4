// SPDX-License-Identifier: MIT
#include "quality/qualifier.h"

#include "base/check.h"
#include "base/error.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {

TrialRow trial_row(const TrialTable& table, int i) {
  return {table.feeds[static_cast<std::size_t>(i)],
          table.values.row(i).transpose(),
          table.sigmas.row(i).transpose(),
          table.unmeasured[static_cast<std::size_t>(i)],
          table.balls.empty() ? "" : table.balls[static_cast<std::size_t>(i)]};
}

Qualifier::Qualifier(std::vector<std::string> characteristics,
                     const QualityOptions& options,
                     const std::optional<Baseline>& given)
    : options_(options),
      given_(given.has_value()),
      warm_up_(characteristics, options) {
  options_.check();
  require(!characteristics.empty(), "nothing to judge");
  table_.characteristics = std::move(characteristics);
  const auto p = static_cast<Eigen::Index>(table_.characteristics.size());
  table_.values.resize(0, p);
  table_.sigmas.resize(0, p);
  if (!given) return;
  if (given->characteristics != table_.characteristics) {
    throw UsageError(fmt::format(
        "the baseline is about {}, the trial about {}: judge the same "
        "characteristics in the same order",
        fmt::join(given->characteristics, ", "),
        fmt::join(table_.characteristics, ", ")));
  }
  start_monitor(*given);
}

void Qualifier::start_monitor(Baseline baseline) {
  monitor_.emplace(std::move(baseline), options_.charts);
  in_control_since_ = table_.rows();
}

void Qualifier::add(const TrialRow& row) {
  require(table_.feeds.empty() || row.feed > table_.feeds.back(),
          "feed numbers must increase");
  require(row.values.size() == table_.values.cols(),
          "a row of another number of characteristics");
  const int i = table_.rows();
  table_.feeds.push_back(row.feed);
  table_.unmeasured.push_back(row.unmeasured);
  table_.balls.push_back(row.ball);
  table_.values.conservativeResize(i + 1, Eigen::NoChange);
  table_.sigmas.conservativeResize(i + 1, Eigen::NoChange);
  table_.values.row(i) = row.values.transpose();
  table_.sigmas.row(i) = row.sigmas.transpose();
  monitored_.push_back(monitor_.has_value());
  warm_up_.add(row.values);
  if (!monitor_) {
    state_ = warm_up_.state();
    first_state_ = state_;
    if (state_.ready) try_baseline();
    return;
  }
  monitor_->add(row.feed, row.values);
  if (!monitor_->in_control()) {
    in_control_since_ = i + 1;
    state_ = warm_up_.state();  // steady again, at another level?
  }
  if (given_ && !ready_at_ &&
      i + 1 - in_control_since_ >= options_.charts.confirm_feeds) {
    ready_at_ = row.feed;
    stable_from_ = table_.feeds[static_cast<std::size_t>(in_control_since_)];
  }
}

void Qualifier::try_baseline() {
  BaselineFit fit = fit_baseline(
      table_, state_.first, state_.last, options_.charts.misfeed_probability);
  no_baseline_ = fit.baseline.message;
  if (!fit.baseline.ok) return;
  baseline_first_ = state_.first;
  baseline_last_ = state_.last;
  stable_from_ = table_.feeds[static_cast<std::size_t>(state_.first)];
  ready_at_ = table_.feeds.back();
  phase_one_ = std::move(fit);
  start_monitor(phase_one_.baseline);
}

Qualification qualify(const TrialTable& table,
                      const QualityOptions& options,
                      const std::optional<Baseline>& given) {
  Qualifier qualifier(table.characteristics, options, given);
  for (int i = 0; i < table.rows(); ++i) qualifier.add(trial_row(table, i));
  Qualification out = qualifier.result();
  out.warnings.insert(
      out.warnings.begin(), table.warnings.begin(), table.warnings.end());
  return out;
}

}  // namespace evenfeed
