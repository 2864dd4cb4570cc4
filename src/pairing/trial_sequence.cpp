// SPDX-License-Identifier: MIT
#include "pairing/trial_sequence.h"

#include "base/nan.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace evenfeed {
namespace {

double share_before(const std::vector<double>& a,
                    const std::vector<double>& b) {
  std::vector<double> sorted = b;
  std::sort(sorted.begin(), sorted.end());
  double later = 0;
  for (const double x : a) {
    later += static_cast<double>(
        sorted.end() - std::upper_bound(sorted.begin(), sorted.end(), x));
  }
  return later /
         (static_cast<double>(a.size()) * static_cast<double>(b.size()));
}

}  // namespace

TrialSequence trial_sequence(const Sample& a, const Sample& b) {
  TrialSequence sequence;
  const bool by_order = a.ordered && b.ordered;
  const std::set<int> of_a(a.feeds.begin(), a.feeds.end());
  const bool shared_numbers =
      std::any_of(b.feeds.begin(), b.feeds.end(), [&](int feed) {
        return of_a.count(feed) > 0;
      });
  if (by_order) {
    sequence.places = {a.order, b.order};
  } else {
    sequence.places = {{a.feeds.begin(), a.feeds.end()},
                       {b.feeds.begin(), b.feeds.end()}};
  }
  if (!by_order && shared_numbers) {
    sequence.separate = true;
    const double last = sequence.places[0].back();
    for (double& place : sequence.places[1]) place += last;
  }
  sequence.a_first = share_before(sequence.places[0], sequence.places[1]);
  sequence.apart = mean(sequence.places[1]) - mean(sequence.places[0]);
  return sequence;
}

Drift drift_between(const TrialSequence& sequence,
                    const Eigen::VectorXd& values_a,
                    const Eigen::VectorXd& values_b) {
  double products = 0;
  double squares = 0;
  double values_squared = 0;
  int known = 0;
  int levels = 0;
  for (int s = 0; s < 2; ++s) {
    const Eigen::VectorXd& values = s == 0 ? values_a : values_b;
    const auto& places = sequence.places[static_cast<std::size_t>(s)];
    std::vector<double> t;
    std::vector<double> y;
    for (Eigen::Index i = 0; i < values.size(); ++i) {
      if (!std::isfinite(values(i))) continue;
      t.push_back(places[static_cast<std::size_t>(i)]);
      y.push_back(values(i));
    }
    if (t.empty()) continue;
    ++levels;
    known += static_cast<int>(t.size());
    const double mean_t = mean(t);
    const double mean_y = mean(y);
    for (std::size_t i = 0; i < t.size(); ++i) {
      products += (t[i] - mean_t) * (y[i] - mean_y);
      squares += (t[i] - mean_t) * (t[i] - mean_t);
      values_squared += (y[i] - mean_y) * (y[i] - mean_y);
    }
  }
  const int degrees = known - levels - 1;
  if (degrees < 1 || squares <= 0) return {kNaN, kNaN};
  const double slope = products / squares;
  const double residual = std::max(0.0, values_squared - slope * products);
  const double slope_se = std::sqrt(residual / degrees / squares);
  // b lies `apart` feeds later, so a - b drifts the other way.
  return {-slope * sequence.apart, slope_se * std::abs(sequence.apart)};
}

}  // namespace evenfeed
