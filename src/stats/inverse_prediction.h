// SPDX-License-Identifier: MIT
// Where does a fitted line reach a value? x0 = (y0 - a) / b, with Fieller's
// interval (1954, JRSS B 16:175): all x for which
//   |y0 - a - b x| <= t sqrt(var(a + b x) + extra)
// holds. It is a stretch from low to high only while the slope is certain
// (g = t^2 var(b) / b^2 < 1); otherwise it has no end on one side, or none at
// all, which is what an uncertain slope means.
#pragma once

#include <limits>

namespace evenfeed {

struct FittedLine {
  double intercept = 0;
  double slope = 0;
  double intercept_variance = 0;
  double slope_variance = 0;
  double covariance = 0;  ///< of intercept and slope
};

struct InversePrediction {
  static constexpr double kInfinity = std::numeric_limits<double>::infinity();
  bool bounded = false;  ///< g < 1; otherwise low and high are infinite
  double at = std::numeric_limits<double>::quiet_NaN();  ///< NaN: slope 0
  double low = -kInfinity;
  double high = kInfinity;
  double g = kInfinity;
};

/// `extra_variance`: 0 for where the mean reaches y0, the residual variance
/// for where a single value may have been. `t`: the quantile of the interval.
/// Arguments that are not finite give the unbounded answer.
[[nodiscard]] InversePrediction inverse_prediction(const FittedLine& line,
                                                   double y0,
                                                   double t,
                                                   double extra_variance = 0);

}  // namespace evenfeed
