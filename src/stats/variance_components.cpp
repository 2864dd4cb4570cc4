// SPDX-License-Identifier: MIT
#include "stats/variance_components.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/least_value.h"

#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

// Sums over the groups that the criterion and the mean squares are made of.
struct Totals {
  int groups = 0;
  int values = 0;
  double squares_within = 0;
  double largest = 0;  ///< size of the largest group
};

struct Components {
  double mean = 0;
  double weight = 0;  ///< sum of w_i
  double within = 0;
  double criterion = 0;
};

Totals totals_of(std::span<const GroupSummary> groups) {
  Totals sum;
  for (const GroupSummary& group : groups) {
    if (group.n == 0) continue;
    ++sum.groups;
    sum.values += group.n;
    sum.squares_within += group.squares;
    sum.largest = std::max(sum.largest, static_cast<double>(group.n));
  }
  return sum;
}

Components solve(std::span<const GroupSummary> groups,
                 const Totals& totals,
                 double theta) {
  Components at;
  double logs = 0;
  double weighted = 0;
  for (const GroupSummary& group : groups) {
    if (group.n == 0) continue;
    const double w = group.n / (1 + group.n * theta);
    at.weight += w;
    weighted += w * group.mean;
    logs += std::log1p(group.n * theta);
  }
  at.mean = weighted / at.weight;
  double squares = totals.squares_within;
  for (const GroupSummary& group : groups) {
    if (group.n == 0) continue;
    const double from_mean = group.mean - at.mean;
    squares += group.n / (1 + group.n * theta) * from_mean * from_mean;
  }
  const double degrees = totals.values - 1;
  at.within = squares / degrees;
  at.criterion = degrees * (1 + std::log(2 * std::numbers::pi * at.within)) +
                 logs + std::log(at.weight);
  return at;
}

void fill_tests(std::span<const GroupSummary> groups,
                const Totals& totals,
                double confidence,
                VarianceComponents& out) {
  const double above = totals.groups - 1;
  const double below = totals.values - totals.groups;
  double weighted = 0;
  double size_squares = 0;
  for (const GroupSummary& group : groups) {
    weighted += group.n * group.mean;
    size_squares += static_cast<double>(group.n) * group.n;
  }
  const double mean = weighted / totals.values;
  double squares = 0;
  for (const GroupSummary& group : groups) {
    squares += group.n * (group.mean - mean) * (group.mean - mean);
  }
  out.f = squares / above / (totals.squares_within / below);
  out.f_probability = f_tail(out.f, above, below);
  const double n0 = (totals.values - size_squares / totals.values) / above;
  const auto icc_of = [n0](double f) { return (f - 1) / (f + n0 - 1); };
  const double tail = (1 - confidence) / 2;
  out.icc = icc_of(out.f);
  out.icc_low = icc_of(out.f / f_upper(tail, above, below));
  out.icc_high = icc_of(out.f * f_upper(tail, below, above));
}

}  // namespace

GroupSummary summarise_group(std::span<const double> values) {
  GroupSummary group;
  if (values.empty()) return group;
  group.n = static_cast<int>(values.size());
  group.mean = mean(values);
  for (const double value : values) {
    group.squares += (value - group.mean) * (value - group.mean);
  }
  return group;
}

VarianceComponents variance_components(std::span<const GroupSummary> groups,
                                       double confidence) {
  require(confidence > 0 && confidence < 1,
          "the confidence of an interval lies between 0 and 1");
  VarianceComponents out;
  for (const GroupSummary& group : groups) {
    require(group.n >= 0, "a group has fewer than 0 values");
    if (group.n > 0 &&
        !(std::isfinite(group.mean) && std::isfinite(group.squares))) {
      out.message = "a value is not finite";
      return out;
    }
  }
  const Totals totals = totals_of(groups);
  if (totals.groups < 2) {
    out.message = "fewer than two groups";
    return out;
  }
  if (totals.values == totals.groups) {
    out.message = "no group has two values";
    return out;
  }
  if (!(totals.squares_within > 0)) {
    out.message = "nothing scatters within the groups";
    return out;
  }
  const LeastValue best = least_value_above_zero(
      [&](double theta) { return solve(groups, totals, theta).criterion; },
      1 / totals.largest);
  const Components at = solve(groups, totals, best.at);
  out.groups = totals.groups;
  out.values = totals.values;
  out.within_variance = at.within;
  out.between_variance = best.at * at.within;
  out.mean = at.mean;
  out.mean_se = std::sqrt(at.within / at.weight);
  out.criterion = at.criterion;
  fill_tests(groups, totals, confidence, out);
  out.ok = true;
  return out;
}

VarianceComponents variance_components(
    std::span<const std::vector<double>> groups, double confidence) {
  std::vector<GroupSummary> summaries;
  for (const std::vector<double>& group : groups) {
    summaries.push_back(summarise_group(group));
  }
  return variance_components(summaries, confidence);
}

}  // namespace evenfeed
