// SPDX-License-Identifier: MIT
#include "quality/qualifier.h"

#include "base/check.h"
#include "base/error.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// See the header.
constexpr double kHintOfSettling = 2;
constexpr int kSeenBefore = 10;  // feeds a renewed baseline does not know
constexpr int kBetween = 5;      // feeds from one renewal to the next, at least
constexpr std::size_t kMost = 6;  // renewals
constexpr double kMovedSd = 1.5;

}  // namespace

TrialRow trial_row(const TrialTable& table, int i) {
  return {table.feeds[static_cast<std::size_t>(i)],
          table.values.row(i).transpose(),
          table.sigmas.row(i).transpose(),
          table.unmeasured[static_cast<std::size_t>(i)],
          table.balls.empty() ? "" : table.balls[static_cast<std::size_t>(i)]};
}

void append_row(const TrialRow& row, TrialTable& table) {
  const Eigen::Index i = table.rows();
  table.feeds.push_back(row.feed);
  table.unmeasured.push_back(row.unmeasured);
  table.balls.push_back(row.ball);
  if (i >= table.values.rows()) {
    // Room for as many again: row by row, all would be copied every time.
    constexpr Eigen::Index kFirst = 64;
    const auto room = std::max<Eigen::Index>(kFirst, 2 * table.values.rows());
    table.values.conservativeResize(room, row.values.size());
    table.sigmas.conservativeResize(room, row.sigmas.size());
  }
  table.values.row(i) = row.values.transpose();
  table.sigmas.row(i) = row.sigmas.transpose();
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
  monitor_first_ = table_.rows();
  in_control_since_ = table_.rows();
}

void Qualifier::add(const TrialRow& row) {
  require(table_.feeds.empty() || row.feed > table_.feeds.back(),
          "feed numbers must increase");
  require(row.values.size() == table_.values.cols(),
          "a row of another number of characteristics");
  const int i = table_.rows();
  append_row(row, table_);
  monitored_.push_back(monitor_.has_value());
  warm_up_.add(row.values);
  if (!monitor_) {
    state_ = warm_up_.state();
    first_state_ = state_;
    if (state_.ready) try_baseline();
    return;
  }
  monitor_->add(row.feed, row.values);
  if (may_settle_) renew_baseline();
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
  BaselineFit fit = fit_baseline(table_,
                                 state_.first,
                                 state_.last,
                                 options_.charts.misfeed_probability,
                                 options_.charts.tails);
  no_baseline_ = fit.baseline.message;
  if (!fit.baseline.ok) return;
  baseline_first_ = state_.first;
  baseline_last_ = state_.last;
  stable_from_ = table_.feeds[static_cast<std::size_t>(state_.first)];
  ready_at_ = table_.feeds.back();
  phase_one_ = std::move(fit);
  may_settle_ = std::any_of(
      state_.settling.begin(), state_.settling.end(), [](const Settling& one) {
        return one.fits && one.strength > kHintOfSettling;
      });
  start_monitor(phase_one_.baseline);
}

// Of a mean that may go on settling, not of one that keeps moving.
bool Qualifier::may_renew(const Baseline& newer) const {
  const Baseline& first = phase_one_.baseline;
  return newer.ok && newer.joint == first.joint &&
         ((newer.mean - first.mean).array().abs() <=
          kMovedSd * first.sd().array())
             .all();
}

void Qualifier::renew_baseline() {
  const WarmUpState& now = warm_up_.state();
  decided_.push_back({now.ready, now.first});
  const int at = table_.rows() - 1 - kSeenBefore;
  const int known = at - baseline_last_ - 1;  // index in decided_
  if (past_.size() >= kMost || known < 0 ||
      at < monitor_first_ + kBetween - 1 ||
      !decided_[static_cast<std::size_t>(known)].ready ||
      !monitor_->in_control()) {
    return;
  }
  const BaselineFit fit =
      fit_baseline(table_,
                   decided_[static_cast<std::size_t>(known)].first,
                   at,
                   options_.charts.misfeed_probability,
                   options_.charts.tails);
  if (!may_renew(fit.baseline)) return;
  Monitor newer(fit.baseline, options_.charts);
  for (int i = at + 1; i < table_.rows(); ++i) {
    newer.add(table_.feeds[static_cast<std::size_t>(i)],
              table_.values.row(i).transpose());
  }
  if (!newer.in_control()) return;
  past_.push_back({std::move(*monitor_), monitor_first_, at});
  monitor_.emplace(std::move(newer));
  monitor_first_ = at + 1;
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
