// SPDX-License-Identifier: MIT
// Lasting changes of phase II: when they begin, what they explain, when they
// end.
#include "quality/change_point.h"
#include "quality/monitor.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr double kConfidence = 0.9;  // of the interval of a change

}  // namespace

void Monitor::look_at_changes() {
  const MonitoredFeed& now = feeds_.back();
  if (now.t2.p == 0) return;
  if (open(false) == nullptr) {
    const int j = strongest_ewma();
    const EwmaChart& chart = ewma_[static_cast<std::size_t>(j)];
    if (now.mewma.signal) {
      open_episode(false, "mewma");
    } else if (std::isfinite(now.values(j)) && chart.last().signal) {
      open_episode(false, "ewma");
    }
  }
  // A shift makes every T2 larger too. While the deviations agree with each
  // other it is for the charts of the mean to say so.
  if (in_control() && spread_.last().value > spread_.last().upper &&
      !deviations_agree()) {
    open_episode(true, "spread");
  }
}

std::vector<Eigen::VectorXd> Monitor::evidence(bool of_spread,
                                               std::size_t start) const {
  std::vector<Eigen::VectorXd> list;
  for (std::size_t i = start; i < feeds_.size(); ++i) {
    list.push_back(of_spread ? Eigen::VectorXd::Constant(1, feeds_[i].score)
                             : feeds_[i].deviation);
  }
  return list;
}

// Evidence from before the last episode of this kind ended is used up.
std::size_t Monitor::evidence_start(bool of_spread) const {
  std::size_t start = 0;
  for (const Episode& one : episodes_) {
    if (one.of_spread == of_spread) {
      start = static_cast<std::size_t>(one.last + 1);
    }
  }
  return start;
}

// Since the estimated change of the spread: |mean|^2 against mean |.|^2. One
// for a pure shift, 1 / number of feeds for a pure change of spread.
bool Monitor::deviations_agree() const {
  const std::size_t start = evidence_start(true);
  const ChangePoint change =
      find_change(evidence(true, start), kConfidence, baseline_.n);
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(joint_mean_.size());
  double squares = 0;
  int known = 0;
  for (std::size_t i = start + static_cast<std::size_t>(change.last_before);
       i < feeds_.size();
       ++i) {
    if (!feeds_[i].deviation.allFinite()) continue;
    sum += feeds_[i].deviation;
    squares += feeds_[i].deviation.squaredNorm();
    ++known;
  }
  constexpr double kAgreement = 0.6;
  return known > 0 && sum.squaredNorm() / known > kAgreement * squares;
}

// Middle of the deviations since the change, component by component and not
// cut off: what a single feed is compared with while the shift lasts.
Eigen::VectorXd Monitor::shift_since(int first) const {
  Eigen::VectorXd shift(joint_mean_.size());
  for (int k = 0; k < shift.size(); ++k) {
    std::vector<double> values;
    for (std::size_t i = static_cast<std::size_t>(first); i < feeds_.size();
         ++i) {
      if (feeds_[i].t2.p > 0) values.push_back(whitened(feeds_[i])(k));
    }
    shift(k) = median(values);
  }
  return shift;
}

void Monitor::open_episode(bool of_spread, const std::string& chart) {
  const std::size_t start = evidence_start(of_spread);
  const ChangePoint change =
      find_change(evidence(of_spread, start), kConfidence, baseline_.n);
  const auto feed_at = [&](int offset) {
    return feeds_[std::min(start + static_cast<std::size_t>(offset),
                           feeds_.size() - 1)]
        .feed;
  };
  const int j = of_spread ? -1 : strongest_ewma();
  Signal signal;
  signal.feed = feeds_.back().feed;
  signal.chart = chart;
  if (j >= 0) signal.characteristic = name(j);
  const auto k = static_cast<std::size_t>(std::max(j, 0));
  if (chart == "mewma") {
    signal.value = mewma_.last().value;
    signal.limit = mewma_.last().limit;
  } else {
    const EwmaPoint& point = of_spread ? spread_.last() : ewma_[k].last();
    signal.value = point.value;
    signal.limit = point.value > point.upper ? point.upper : point.lower;
  }
  signal.changed_at_feed = feed_at(change.last_before);
  signal.interval_first = feed_at(change.interval_first);
  signal.interval_last = feed_at(change.interval_last);

  Episode episode;
  episode.of_spread = of_spread;
  episode.first = static_cast<int>(start) + change.last_before;
  episode.signalled = static_cast<int>(feeds_.size()) - 1;
  episode.reason = explain_shift(signal, j, episode.first);
  if (!of_spread) {
    episode.shift = shift_since(episode.first);
    absorb_singles(episode);
  }
  episodes_.push_back(episode);
  signals_.push_back(signal);
}

// Single signals since the change that the shift explains are its doing.
void Monitor::absorb_singles(const Episode& episode) {
  for (std::size_t i = static_cast<std::size_t>(episode.first);
       i < feeds_.size();
       ++i) {
    MonitoredFeed& one = feeds_[i];
    if (!one.single_signal ||
        distance_from(one, episode.shift) > one.t2.limit) {
      continue;
    }
    one.single_signal = false;
    one.misfeed = false;
    one.single_reason.clear();
    std::erase_if(signals_, [&](const Signal& signal) {
      return signal.feed == one.feed &&
             (signal.chart == "t2" || signal.chart == "individuals");
    });
  }
}

void Monitor::close_episodes() {
  const int last = static_cast<int>(feeds_.size()) - 1;
  if (feeds_.back().t2.p == 0) return;
  for (Episode& one : episodes_) {
    if (one.last >= 0 || one.signalled == last) continue;
    bool back = spread_.last().value < 0.5 * spread_.last().upper;
    if (!one.of_spread) {
      back = mewma_.last().value < 0.25 * mewma_.last().limit;
      for (const EwmaChart& chart : ewma_) {
        back = back && chart.share_of_limit() < 0.5;
      }
    }
    if (back) one.last = last_of_change(one);
  }
}

// The charts come back long after the launcher did. Read backwards, a change
// that is over is one that begins: the fewest feeds since its end, so that
// hardly one of the change is kept.
int Monitor::last_of_change(const Episode& episode) const {
  const int last = static_cast<int>(feeds_.size()) - 1;
  std::vector<Eigen::VectorXd> list =
      evidence(episode.of_spread, static_cast<std::size_t>(episode.first));
  std::reverse(list.begin(), list.end());
  const ChangePoint end = find_change(list, kConfidence, baseline_.n);
  return end.ok ? last - end.interval_first : last;
}

}  // namespace evenfeed
