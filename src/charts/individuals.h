// SPDX-License-Identifier: MIT
// Control chart for individual values with its chart of moving ranges
// (ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.2).
//
// Limits from phase I: centre = mean, sigma = mean moving range / d2(2), lines
// at centre +- width * sigma, upper line of the ranges d2 + width * d3 times
// sigma (D4 for width 3).
#pragma once

#include <limits>
#include <optional>
#include <span>

namespace evenfeed {

struct IndividualsLimits {
  double centre = std::numeric_limits<double>::quiet_NaN();
  double sigma = std::numeric_limits<double>::quiet_NaN();
  double lower = std::numeric_limits<double>::quiet_NaN();
  double upper = std::numeric_limits<double>::quiet_NaN();
  double range_centre = std::numeric_limits<double>::quiet_NaN();
  double range_upper = std::numeric_limits<double>::quiet_NaN();
};

/// From the values of phase I in order of time; those that are not finite are
/// left out and break the range across them. All NaN when there is no moving
/// range at all; limits on the centre when all values are equal.
IndividualsLimits individuals_limits(std::span<const double> phase_one,
                                     double width = 3);

/// Lines at mean +- width * sd, ranges limited at range_limit * sd; see
/// charts/guaranteed_width.h for widths that allow for an estimated mean and
/// sd. sd >= 0.
IndividualsLimits individuals_limits(double mean,
                                     double sd,
                                     double width,
                                     double range_limit);

struct IndividualsPoint {
  double value = std::numeric_limits<double>::quiet_NaN();
  double range = std::numeric_limits<double>::quiet_NaN();
  bool signal = false;
  bool range_signal = false;
};

class IndividualsChart {
 public:
  explicit IndividualsChart(const IndividualsLimits& limits)
      : limits_(limits) {}
  const IndividualsLimits& limits() const { return limits_; }
  /// A value that is not finite never signals, and the next one has no range.
  IndividualsPoint add(double value);

 private:
  IndividualsLimits limits_;
  std::optional<double> previous_;
};

}  // namespace evenfeed
