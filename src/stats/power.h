// SPDX-License-Identifier: MIT
// How many cases a difference needs, and how small a difference so many cases
// can show. Two-sided tests at level `alpha`, found with probability `power`.
//
// Sizes come back unrounded: round up. An aim outside its range is a
// UsageError, other arguments a std::logic_error. Infinite when the difference
// is 0.
#pragma once

namespace evenfeed {

struct TestAim {
  double alpha = 0.05;  ///< two-sided
  double power = 0.80;
  void check() const;
};

/// Power of a two-sided t test when the true value is `noncentrality`
/// standard errors from 0 (non-central t distribution).
double student_power(double noncentrality, double degrees, double alpha);

/// The true value, in standard errors, that is found with the aimed power.
double detectable_noncentrality(double degrees, const TestAim& aim);

/// Pairs for a mean difference of `effect` sd of the paired differences.
double paired_t_size(double effect, const TestAim& aim);

/// Values on each side for a difference of `effect` common sd.
double two_sample_t_size(double effect, const TestAim& aim);

/// Cases on each side to tell two shares apart: normal approximation, pooled
/// under the null hypothesis (Fleiss, Levin and Paik 2003, Statistical Methods
/// for Rates and Proportions, 4.2).
double two_share_size(double share_a, double share_b, const TestAim& aim);

/// Pairs to tell two shares apart that differ by `difference`, when
/// `discordant` of the pairs disagree (Connett, Smith and McHugh 1987,
/// Statistics in Medicine 6:537).
double mcnemar_size(double discordant, double difference, const TestAim& aim);

}  // namespace evenfeed
