// SPDX-License-Identifier: MIT
#include "stats/estimate.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"

#include <cmath>

namespace evenfeed {

IntervalEstimate student_estimate(double value,
                                  double se,
                                  double degrees,
                                  double confidence) {
  require(confidence > 0 && confidence < 1, "confidence within (0, 1)");
  IntervalEstimate result;
  if (!std::isfinite(value) || !std::isfinite(se) || se < 0 ||
      !std::isfinite(degrees) || degrees <= 0) {
    return result;
  }
  result.ok = true;
  result.value = value;
  result.se = se;
  result.degrees = degrees;
  const double half = student_t_quantile(0.5 + confidence / 2, degrees) * se;
  result.interval = {value - half, value + half};
  if (se > 0) {
    result.p = 2 * student_t_cdf(-std::abs(value) / se, degrees);
  } else {
    result.p = value == 0 ? 1 : 0;
  }
  return result;
}

IntervalEstimate paired_t(std::span<const double> differences,
                          double confidence) {
  const auto n = static_cast<double>(differences.size());
  if (n < 2) return {};
  return student_estimate(mean(differences),
                          standard_deviation(differences) / std::sqrt(n),
                          n - 1,
                          confidence);
}

}  // namespace evenfeed
