// SPDX-License-Identifier: MIT
#include "quality/monitor.h"

#include "base/check.h"
#include "quality/monitor_designs.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kCutProbability = 0.0027;

}  // namespace

Monitor::Monitor(Baseline baseline, const ChartOptions& options)
    : baseline_(std::move(baseline)),
      options_(options),
      joint_mean_(subvector(baseline_.mean, baseline_.joint)),
      joint_covariance_(submatrix(baseline_.covariance, baseline_.joint)),
      factor_(joint_covariance_),
      cut2_(chi_squared_upper(kCutProbability,
                              static_cast<double>(baseline_.joint.size()))),
      t2_(make_t2(baseline_, options)),
      mewma_(make_mewma(baseline_, options)),
      spread_(make_spread(baseline_, options)) {
  require(baseline_.ok, "a monitor needs a baseline");
  const int p = static_cast<int>(baseline_.characteristics.size());
  for (int j = 0; j < p; ++j) {
    alone_.push_back(make_individuals(baseline_, j, options));
    ewma_.push_back(make_ewma(baseline_, j, options));
    ChartSeries series;
    series.chart = "ewma";
    series.characteristic = name(j);
    series.centre = baseline_.mean(j);
    series.lambda = options.lambda;
    ewma_series_.push_back(series);
  }
  spread_series_.chart = "spread";
  spread_series_.centre = 0;
  spread_series_.lambda = options.lambda;
}

const std::string& Monitor::name(int j) const {
  return baseline_.characteristics[static_cast<std::size_t>(j)];
}

const Episode* Monitor::open(bool of_spread) const {
  for (const Episode& one : episodes_) {
    if (one.of_spread == of_spread && one.last < 0) return &one;
  }
  return nullptr;
}

bool Monitor::in_control() const {
  return open(false) == nullptr && open(true) == nullptr;
}

void Monitor::add(int feed, const Eigen::VectorXd& values) {
  MonitoredFeed now;
  now.feed = feed;
  now.values = values;
  const Eigen::VectorXd joint = subvector(values, baseline_.joint);
  now.t2 = t2_.add(joint);
  for (int j = 0; j < values.size(); ++j) {
    now.alone.push_back(alone_[static_cast<std::size_t>(j)].add(values(j)));
  }
  now.score =
      now.t2.p > 0 ? t2_score(now.t2.value, now.t2.p, baseline_.n) : kNotKnown;

  // Pull a far vector in along its own direction before it is averaged.
  Eigen::VectorXd pulled = joint;
  if (now.t2.value > cut2_) {
    pulled =
        joint_mean_ + (joint - joint_mean_) * std::sqrt(cut2_ / now.t2.value);
  }
  now.mewma = mewma_.add(pulled);
  now.deviation = Eigen::VectorXd::Constant(joint.size(), kNotKnown);
  if (now.t2.p > 0) {
    now.deviation = factor_.matrixL().solve(
        fill_expected(pulled, joint_mean_, joint_covariance_) - joint_mean_);
  }
  smooth_each(now);
  feeds_.push_back(std::move(now));
  look_at_single(feeds_.back());
  look_at_changes();
  close_episodes();
}

// The EWMA of each characteristic and of the spread, with the feed's point.
void Monitor::smooth_each(const MonitoredFeed& now) {
  const Eigen::VectorXd sd = baseline_.sd();
  for (int j = 0; j < now.values.size(); ++j) {
    const auto k = static_cast<std::size_t>(j);
    const double cut = 3 * sd(j);
    const double x = std::isfinite(now.values(j))
                         ? std::clamp(now.values(j),
                                      baseline_.mean(j) - cut,
                                      baseline_.mean(j) + cut)
                         : now.values(j);
    const EwmaPoint point = ewma_[k].add(x);
    if (!std::isfinite(x)) continue;
    ewma_series_[k].feeds.push_back(now.feed);
    ewma_series_[k].values.push_back(point.value);
    ewma_series_[k].lower.push_back(point.lower);
    ewma_series_[k].upper.push_back(point.upper);
  }
  const EwmaPoint spread = spread_.add(now.score);
  if (std::isfinite(now.score)) {
    spread_series_.feeds.push_back(now.feed);
    spread_series_.values.push_back(spread.value);
    spread_series_.lower.push_back(kNotKnown);
    spread_series_.upper.push_back(spread.upper);
  }
}

Eigen::VectorXd Monitor::whitened(const MonitoredFeed& feed) const {
  const Eigen::VectorXd joint = subvector(feed.values, baseline_.joint);
  return factor_.matrixL().solve(
      fill_expected(joint, joint_mean_, joint_covariance_) - joint_mean_);
}

double Monitor::distance_from(const MonitoredFeed& now,
                              const Eigen::VectorXd& shift) const {
  return (whitened(now) - shift).squaredNorm();
}

void Monitor::look_at_single(MonitoredFeed& now) {
  if (now.t2.p > 0) {
    now.misfeed_limit = t2_.limit(now.t2.p, options_.misfeed_probability);
  }
  bool far = now.t2.signal;
  for (const IndividualsPoint& point : now.alone) far |= point.signal;
  if (!far) return;
  double distance = now.t2.value;
  if (open(false) != nullptr) {
    distance = distance_from(now, open(false)->shift);
    if (distance <= now.t2.limit) return;  // the shift explains it
  }
  now.single_signal = true;
  now.misfeed =
      now.t2.value > now.misfeed_limit && distance > now.misfeed_limit;
  const int j = strongest_part(now);
  now.single_reason = explain_single(now, j);
  Signal signal;
  signal.feed = now.feed;
  signal.chart = now.t2.signal ? "t2" : "individuals";
  signal.characteristic = name(j);
  signal.value = now.t2.signal ? now.t2.value : now.values(j);
  const IndividualsLimits& limits =
      alone_[static_cast<std::size_t>(j)].limits();
  signal.limit = now.t2.signal                   ? now.t2.limit
                 : now.values(j) > limits.centre ? limits.upper
                                                 : limits.lower;
  signal.changed_at_feed = now.feed;
  signal.interval_first = now.feed;
  signal.interval_last = now.feed;
  signal.misfeed = now.misfeed;
  signals_.push_back(signal);
}

}  // namespace evenfeed
