// SPDX-License-Identifier: MIT
#include "stats/power.h"

#include "base/check.h"
#include "stats/distributions.h"

#include <cmath>
#include <functional>
#include <limits>

#include <boost/math/distributions/non_central_t.hpp>

namespace evenfeed {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

// The x at which an increasing function reaches `wanted`, from above `low`.
double where_reached(const std::function<double(double)>& rising,
                     double low,
                     double wanted) {
  double high = 2 * low;
  while (rising(high) < wanted && high < 1e12) {
    low = high;
    high *= 2;
  }
  for (int i = 0; i < 200 && high - low > 1e-12 * high; ++i) {
    const double middle = (low + high) / 2;
    (rising(middle) < wanted ? low : high) = middle;
  }
  return (low + high) / 2;
}

double sum_of_quantiles(double null_sd, double true_sd, const TestAim& aim) {
  return normal_quantile(1 - aim.alpha / 2) * null_sd +
         normal_quantile(aim.power) * true_sd;
}

}  // namespace

void TestAim::check() const {
  require_in_range(alpha, 1e-6, 0.5, "alpha");
  require_in_range(power, 0.5, 0.9999, "power");
}

double student_power(double noncentrality, double degrees, double alpha) {
  require(std::isfinite(noncentrality) && degrees > 0, "student_power");
  const double limit = student_t_quantile(1 - alpha / 2, degrees);
  const double shift = std::abs(noncentrality);
  // Far out the distribution is beyond its series, and the answer known.
  if (shift > limit + 37) return 1;
  const boost::math::non_central_t_distribution<> t(degrees, shift);
  return cdf(complement(t, limit)) + cdf(t, -limit);
}

double detectable_noncentrality(double degrees, const TestAim& aim) {
  aim.check();
  return where_reached(
      [&](double shift) { return student_power(shift, degrees, aim.alpha); },
      1e-3,
      aim.power);
}

double paired_t_size(double effect, const TestAim& aim) {
  aim.check();
  require(std::isfinite(effect), "paired_t_size: a finite effect");
  if (effect == 0) return kInfinite;
  return where_reached(
      [&](double n) {
        return student_power(effect * std::sqrt(n), n - 1, aim.alpha);
      },
      1.5,
      aim.power);
}

double two_sample_t_size(double effect, const TestAim& aim) {
  aim.check();
  require(std::isfinite(effect), "two_sample_t_size: a finite effect");
  if (effect == 0) return kInfinite;
  return where_reached(
      [&](double n) {
        return student_power(effect * std::sqrt(n / 2), 2 * n - 2, aim.alpha);
      },
      1.5,
      aim.power);
}

double two_share_size(double share_a, double share_b, const TestAim& aim) {
  aim.check();
  require(share_a >= 0 && share_a <= 1 && share_b >= 0 && share_b <= 1,
          "two_share_size: shares within 0 to 1");
  if (share_a == share_b) return kInfinite;
  const double middle = (share_a + share_b) / 2;
  const double sum = sum_of_quantiles(
      std::sqrt(2 * middle * (1 - middle)),
      std::sqrt(share_a * (1 - share_a) + share_b * (1 - share_b)),
      aim);
  return std::pow(sum / (share_a - share_b), 2);
}

double mcnemar_size(double discordant, double difference, const TestAim& aim) {
  aim.check();
  require(
      discordant > 0 && discordant <= 1 && std::abs(difference) <= discordant,
      "mcnemar_size: |difference| <= discordant <= 1");
  if (difference == 0) return kInfinite;
  const double sum =
      sum_of_quantiles(std::sqrt(discordant),
                       std::sqrt(discordant - difference * difference),
                       aim);
  return std::pow(sum / difference, 2);
}

}  // namespace evenfeed
