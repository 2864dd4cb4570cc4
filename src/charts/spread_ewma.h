// SPDX-License-Identifier: MIT
// EWMA of the variance, looking for growth of the spread (Crowder and
// Hamilton 1992, JQT 24:12; Knoth 2005, Statistics and Computing 15:341):
//   z_i = lambda q_i / df + (1 - lambda) z_{i-1},  z_0 = 1,
// where q_i is chi-squared with df degrees of freedom in control: the squared
// standardised deviation of a single value (df 1), or T2 of p characteristics
// with known parameters (df p). Upper line at
//   1 + width sqrt(lambda / (2 - lambda)) sqrt(2 / df).
#pragma once

#include <limits>

namespace evenfeed {

struct SpreadEwmaDesign {
  double lambda = 0.1;  ///< 0 < lambda <= 1
  double width = 3;     ///< of the line, in sd of the settled statistic; > 0
  int degrees = 1;      ///< of freedom of one value; >= 1
  void check() const;
  double limit() const;  ///< the upper line
};

struct SpreadEwmaPoint {
  double value = std::numeric_limits<double>::quiet_NaN();
  double upper = std::numeric_limits<double>::quiet_NaN();
  bool signal = false;
};

class SpreadEwmaChart {
 public:
  explicit SpreadEwmaChart(const SpreadEwmaDesign& design);
  /// q >= 0. One that is not finite leaves the statistic as it is: the point
  /// repeats the last one and does not signal.
  SpreadEwmaPoint add(double q);
  const SpreadEwmaPoint& last() const { return last_; }

 private:
  SpreadEwmaDesign design_;
  SpreadEwmaPoint last_;
};

/// Average run length for independent normal values when the spread is
/// `ratio` times the one the chart was made for (> 0). With x^2 = q the
/// integral equation
///   L(z) = 1 + int L((1 - lambda) z + lambda x^2 / df) f(x) dx
/// has no singularity; L is a Chebyshev series whose equation holds at the
/// Chebyshev points (collocation, as in Knoth 2005).
double spread_ewma_run_length(const SpreadEwmaDesign& design, double ratio);

/// The width that gives the in-control run length (> 2). Computed once per
/// argument list and then remembered.
double spread_ewma_width(double lambda, int degrees, double run_length);

}  // namespace evenfeed
