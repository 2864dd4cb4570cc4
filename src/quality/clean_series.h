// SPDX-License-Identifier: MIT
// A characteristic over time with single wild values set aside, and the sums
// that make the tests of any stretch of it cheap.
#pragma once

#include <vector>

namespace evenfeed {

/// Values further than 6 robust sd (of the differences to the median of the 9
/// values around each) from that median become NaN. What moves slowly stays.
std::vector<double> set_wild_aside(const std::vector<double>& values);

/// Straight line and spread over a stretch, from prefix sums.
struct StretchFit {
  int n = 0;  ///< values that are known
  double mean = 0;
  double slope = 0;  ///< per feed
  double slope_se = 0;
  double residual_sd = 0;  ///< about the line; divisor n - 2
};

struct Bend {
  double size = 0;  ///< by which the ends lie beyond the middle
  double t = 0;     ///< its t statistic
};

class CleanSeries {
 public:
  explicit CleanSeries(const std::vector<double>& values);
  int size() const { return static_cast<int>(values_.size()); }
  /// Less their median; NaN: not known or wild.
  const std::vector<double>& values() const { return values_; }
  /// Over first..last. n < 3 gives a fit of zeros.
  StretchFit fit(int first, int last) const;
  /// t statistic of mean(first..split-1) against mean(split..last), with the
  /// spread about both means; 0 when either side has fewer than 2 values.
  double split_t(int first, int split, int last) const;
  /// Lag-1 autocorrelation of what remains about the line; 0 when chance
  /// allows for it (stats/autocorrelation.h).
  double credible_memory(int first, int last) const;
  /// sd from the differences of neighbours (von Neumann 1941, Ann. Math. Stat.
  /// 12:367): sqrt(sum d^2 / 2 m). What moves slowly, and swings, does not
  /// count in it. 0 without two neighbours.
  double short_term_sd(int first, int last) const;
  /// The square beside a straight line; the t is narrowed by what memory the
  /// rest has. Nothing with fewer than 6 values.
  Bend bend(int first, int last) const;

 private:
  struct Sums {
    double n = 0, t = 0, tt = 0, y = 0, ty = 0, yy = 0;
  };
  Sums between(int first, int last) const;
  std::vector<double> values_;  // less their median; NaN: not known
  std::vector<Sums> prefix_;    // of the values before each index
  double offset_ = 0;
};

}  // namespace evenfeed
