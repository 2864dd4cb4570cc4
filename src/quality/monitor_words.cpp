// SPDX-License-Identifier: MIT
// What a signal of phase II means: the characteristic behind it, and the
// sentence for people.
#include "quality/monitor.h"
#include "stats/covariance.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

// The known characteristic that explains a single signal best.
int Monitor::strongest_part(const MonitoredFeed& now) const {
  const Eigen::VectorXd sd = baseline_.sd();
  int best = -1;
  double most = 0;
  bool any_alone = false;
  for (const IndividualsPoint& point : now.alone) any_alone |= point.signal;
  if (any_alone) {
    for (int j = 0; j < static_cast<int>(now.alone.size()); ++j) {
      if (!now.alone[static_cast<std::size_t>(j)].signal) continue;
      const double z = std::abs(now.values(j) - baseline_.mean(j)) / sd(j);
      if (best < 0 || z > most) best = j, most = z;
    }
    return best;
  }
  for (const T2Part& part : t2_.parts(subvector(now.values, baseline_.joint))) {
    if (best >= 0 && part.given_others <= most) continue;
    best = baseline_.joint[static_cast<std::size_t>(part.index)];
    most = part.given_others;
  }
  return best;
}

std::string Monitor::explain_single(const MonitoredFeed& now, int j) const {
  const IndividualsPoint& point = now.alone[static_cast<std::size_t>(j)];
  const IndividualsLimits& limits =
      alone_[static_cast<std::size_t>(j)].limits();
  const double z = (now.values(j) - limits.centre) / limits.sigma;
  const std::string what = characteristic_words(name(j));
  const std::string value = characteristic_value(name(j), now.values(j));
  const std::string t2 =
      now.t2.signal
          ? fmt::format(
                ", T2 {:.1f} (limit {:.1f})", now.t2.value, now.t2.limit)
          : "";
  if (point.signal) {
    return fmt::format(
        "{}{} {} is {:.1f} sd from the mean {} (limits {} to "
        "{}){}",
        now.misfeed ? "mis-feed: " : "",
        what,
        value,
        z,
        characteristic_value(name(j), limits.centre),
        characteristic_value(name(j), limits.lower),
        characteristic_value(name(j), limits.upper),
        t2);
  }
  return fmt::format(
      "{}unusual combination: {} {} ({:.1f} sd from the mean) "
      "does not go with the others{}",
      now.misfeed ? "mis-feed: " : "",
      what,
      value,
      z,
      t2);
}

int Monitor::strongest_ewma() const {
  const auto best = std::max_element(
      ewma_.begin(), ewma_.end(), [](const EwmaChart& a, const EwmaChart& b) {
        return a.share_of_limit() < b.share_of_limit();
      });
  return static_cast<int>(best - ewma_.begin());
}

std::string Monitor::explain_shift(const Signal& signal,
                                   int j,
                                   int first) const {
  const std::string when = fmt::format("since feed {} (between {} and {})",
                                       signal.changed_at_feed,
                                       signal.interval_first,
                                       signal.interval_last);
  const std::string how = fmt::format("{} {:.4g} (limit {:.4g}) at feed {}",
                                      signal.chart,
                                      signal.value,
                                      signal.limit,
                                      signal.feed);
  if (j < 0) {
    return fmt::format("the spread has grown {}: {}", when, how);
  }
  double sum = 0;
  int known = 0;
  for (std::size_t i = static_cast<std::size_t>(first); i < feeds_.size();
       ++i) {
    if (!std::isfinite(feeds_[i].values(j))) continue;
    sum += feeds_[i].values(j) - baseline_.mean(j);
    ++known;
  }
  const double shift = known > 0 ? sum / known : 0;
  return fmt::format("{} has moved by {} ({:+.1f} sd) {}: {}",
                     characteristic_words(name(j)),
                     signed_value(name(j), shift),
                     shift / baseline_.sd()(j),
                     when,
                     how);
}

std::vector<ChartSeries> Monitor::series() const {
  std::vector<ChartSeries> all;
  ChartSeries t2;
  t2.chart = "t2";
  ChartSeries mewma;
  mewma.chart = "mewma";
  mewma.lambda = options_.lambda;
  for (const MonitoredFeed& one : feeds_) {
    if (one.t2.p == 0) continue;
    t2.feeds.push_back(one.feed);
    t2.values.push_back(one.t2.value);
    t2.lower.push_back(kNotKnown);
    t2.upper.push_back(one.t2.limit);
    mewma.feeds.push_back(one.feed);
    mewma.values.push_back(one.mewma.value);
    mewma.lower.push_back(kNotKnown);
    mewma.upper.push_back(one.mewma.limit);
  }
  all.push_back(t2);
  all.push_back(mewma);
  all.push_back(spread_series_);
  all.insert(all.end(), ewma_series_.begin(), ewma_series_.end());
  return all;
}

}  // namespace evenfeed
