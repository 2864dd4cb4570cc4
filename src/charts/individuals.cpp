// SPDX-License-Identifier: MIT
#include "charts/individuals.h"

#include "base/check.h"
#include "stats/chart_constants.h"
#include "stats/descriptive.h"

#include <cmath>
#include <vector>

namespace evenfeed {

IndividualsLimits individuals_limits(std::span<const double> phase_one,
                                     double width) {
  IndividualsLimits limits;
  std::vector<double> ranges;
  for (std::size_t i = 1; i < phase_one.size(); ++i) {
    const double range = std::abs(phase_one[i] - phase_one[i - 1]);
    if (std::isfinite(range)) ranges.push_back(range);
  }
  if (ranges.empty()) return limits;
  limits.centre = mean(finite_only(phase_one));
  limits.range_centre = mean(ranges);
  limits.sigma = limits.range_centre / d2_factor(2);
  limits.lower = limits.centre - width * limits.sigma;
  limits.upper = limits.centre + width * limits.sigma;
  limits.range_upper = (d2_factor(2) + width * d3_factor(2)) * limits.sigma;
  return limits;
}

IndividualsLimits individuals_limits(double mean,
                                     double sd,
                                     double width,
                                     double range_limit) {
  require_positive(width, "width");
  require_positive(range_limit, "range limit");
  require_not_negative(sd, "sd");
  IndividualsLimits limits;
  limits.centre = mean;
  limits.sigma = sd;
  limits.lower = mean - width * sd;
  limits.upper = mean + width * sd;
  limits.range_centre = d2_factor(2) * sd;
  limits.range_upper = range_limit * sd;
  return limits;
}

IndividualsPoint IndividualsChart::add(double value) {
  IndividualsPoint point;
  if (!std::isfinite(value)) {
    previous_.reset();
    return point;
  }
  point.value = value;
  point.signal = value < limits_.lower || value > limits_.upper;
  if (previous_) {
    point.range = std::abs(value - *previous_);
    point.range_signal = point.range > limits_.range_upper;
  }
  previous_ = value;
  return point;
}

}  // namespace evenfeed
