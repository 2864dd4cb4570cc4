// SPDX-License-Identifier: MIT
#include "stats/inverse_prediction.h"

#include <cmath>

namespace evenfeed {

InversePrediction inverse_prediction(const FittedLine& line,
                                     double y0,
                                     double t,
                                     double extra_variance) {
  InversePrediction out;
  const double rise = y0 - line.intercept;
  const double b = line.slope;
  // Ends of the set: (rise - b x)^2 = t^2 (var a + 2 x cov + x^2 var b + extra)
  const double square = b * b - t * t * line.slope_variance;
  const double linear = -rise * b - t * t * line.covariance;
  const double constant =
      rise * rise - t * t * (line.intercept_variance + extra_variance);
  if (!std::isfinite(square) || !std::isfinite(linear) ||
      !std::isfinite(constant) || b == 0) {
    return out;
  }
  out.at = rise / b;
  out.g = t * t * line.slope_variance / (b * b);
  if (!(square > 0)) return out;
  const double root =
      std::sqrt(std::fmax(linear * linear - square * constant, 0.0));
  out.low = (-linear - root) / square;
  out.high = (-linear + root) / square;
  out.bounded = true;
  return out;
}

}  // namespace evenfeed
