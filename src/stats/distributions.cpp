// SPDX-License-Identifier: MIT
#include "stats/distributions.h"

#include "base/check.h"

#include <cmath>

// Plain doubles: the long doubles that Boost prefers cost three times as much
// and their digits are not needed.
#define BOOST_MATH_PROMOTE_DOUBLE_POLICY false
#include <boost/math/distributions/beta.hpp>
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <fmt/format.h>

namespace evenfeed {
namespace {

namespace bm = boost::math;

double degrees_of(double degrees) {
  require(std::isfinite(degrees) && degrees > 0,
          fmt::format("degrees of freedom {} are not above 0", degrees));
  return degrees;
}

double probability_of(double probability) {
  require(probability > 0 && probability < 1,
          fmt::format("probability {} is not within (0, 1)", probability));
  return probability;
}

double number_of(double x) {
  require(!std::isnan(x), "the argument of a distribution is NaN");
  return x;
}

double noncentrality_of(double value) {
  require(std::isfinite(value) && value >= 0,
          fmt::format("noncentrality {} is below 0", value));
  return value;
}

}  // namespace

double normal_density(double x) {
  constexpr double kFactor = 0.3989422804014327;  // 1 / sqrt(2 pi)
  return kFactor * std::exp(-0.5 * number_of(x) * x);
}

double normal_cdf(double x) {
  return 0.5 * std::erfc(-number_of(x) / 1.4142135623730951);
}

double normal_quantile(double probability) {
  return bm::quantile(bm::normal(), probability_of(probability));
}

double student_t_cdf(double x, double degrees) {
  return bm::cdf(bm::students_t(degrees_of(degrees)), number_of(x));
}

double student_t_quantile(double probability, double degrees) {
  return bm::quantile(bm::students_t(degrees_of(degrees)),
                      probability_of(probability));
}

double chi_squared_cdf(double x, double degrees) {
  const bm::chi_squared distribution(degrees_of(degrees));
  return number_of(x) <= 0 ? 0 : bm::cdf(distribution, x);
}

double chi_squared_tail(double x, double degrees) {
  const bm::chi_squared distribution(degrees_of(degrees));
  return number_of(x) <= 0 ? 1 : bm::cdf(bm::complement(distribution, x));
}

double chi_squared_quantile(double probability, double degrees) {
  return bm::quantile(bm::chi_squared(degrees_of(degrees)),
                      probability_of(probability));
}

double chi_squared_upper(double tail, double degrees) {
  return bm::quantile(bm::complement(bm::chi_squared(degrees_of(degrees)),
                                     probability_of(tail)));
}

double noncentral_chi_squared_density(double x,
                                      double degrees,
                                      double noncentrality) {
  noncentrality_of(noncentrality);
  degrees_of(degrees);
  if (number_of(x) <= 0) return 0;
  if (noncentrality == 0) return bm::pdf(bm::chi_squared(degrees), x);
  return bm::pdf(bm::non_central_chi_squared(degrees, noncentrality), x);
}

double noncentral_chi_squared_tail(double x,
                                   double degrees,
                                   double noncentrality) {
  noncentrality_of(noncentrality);
  if (noncentrality == 0) return chi_squared_tail(x, degrees);
  const bm::non_central_chi_squared distribution(degrees_of(degrees),
                                                 noncentrality);
  return number_of(x) <= 0 ? 1 : bm::cdf(bm::complement(distribution, x));
}

double f_tail(double x, double numerator, double denominator) {
  const bm::fisher_f distribution(degrees_of(numerator),
                                  degrees_of(denominator));
  return number_of(x) <= 0 ? 1 : bm::cdf(bm::complement(distribution, x));
}

double f_upper(double tail, double numerator, double denominator) {
  return bm::quantile(bm::complement(
      bm::fisher_f(degrees_of(numerator), degrees_of(denominator)),
      probability_of(tail)));
}

double beta_upper(double tail, double a, double b) {
  return bm::quantile(
      bm::complement(bm::beta_distribution<>(degrees_of(a), degrees_of(b)),
                     probability_of(tail)));
}

}  // namespace evenfeed
