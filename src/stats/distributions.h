// SPDX-License-Identifier: MIT
// The distributions the project needs, over Boost.Math, with one meaning for
// bad arguments: a probability outside (0, 1), degrees of freedom that are
// not positive, or NaN break the contract and throw std::logic_error.
#pragma once

namespace evenfeed {

double normal_density(double x);
double normal_cdf(double x);
double normal_quantile(double probability);
double student_t_cdf(double x, double degrees);
double student_t_quantile(double probability, double degrees);
/// 0 for x <= 0.
double chi_squared_cdf(double x, double degrees);
/// P(X > x), exact far into the tail; 1 for x <= 0.
double chi_squared_tail(double x, double degrees);
double chi_squared_quantile(double probability, double degrees);
/// The value that is exceeded with probability `tail`.
double chi_squared_upper(double tail, double degrees);
/// Density and tail of the non-central chi-squared distribution; both 0 and 1
/// for x <= 0. `noncentrality` >= 0.
double noncentral_chi_squared_density(double x,
                                      double degrees,
                                      double noncentrality);
double noncentral_chi_squared_tail(double x,
                                   double degrees,
                                   double noncentrality);
double f_tail(double x, double numerator, double denominator);
/// The value that is exceeded with probability `tail`.
double f_upper(double tail, double numerator, double denominator);
/// The value that is exceeded with probability `tail`.
double beta_upper(double tail, double a, double b);

}  // namespace evenfeed
