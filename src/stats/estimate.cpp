// SPDX-License-Identifier: MIT
#include "stats/estimate.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"

#include <cmath>

namespace evenfeed {

Estimate student_estimate(double value,
                          double se,
                          double degrees,
                          double confidence) {
  require(confidence > 0 && confidence < 1, "confidence within (0, 1)");
  Estimate result;
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

Estimate paired_t(std::span<const double> differences, double confidence) {
  const auto n = static_cast<double>(differences.size());
  if (n < 2) return {};
  return student_estimate(mean(differences),
                          standard_deviation(differences) / std::sqrt(n),
                          n - 1,
                          confidence);
}

Estimate welch_t(std::span<const double> a,
                 std::span<const double> b,
                 double confidence) {
  const auto n_a = static_cast<double>(a.size());
  const auto n_b = static_cast<double>(b.size());
  if (n_a < 2 || n_b < 2) return {};
  const double var_a = std::pow(standard_deviation(a), 2) / n_a;
  const double var_b = std::pow(standard_deviation(b), 2) / n_b;
  const double sum = var_a + var_b;
  const double degrees =
      sum > 0
          ? sum * sum / (var_a * var_a / (n_a - 1) + var_b * var_b / (n_b - 1))
          : n_a + n_b - 2;
  return student_estimate(
      mean(a) - mean(b), std::sqrt(sum), degrees, confidence);
}

}  // namespace evenfeed
