// SPDX-License-Identifier: MIT
// Two-sided tabular cumulative sum (Page 1954; NIST/SEMATECH e-Handbook
// 6.3.2.3; ISO 7870-4): with z_i = (x_i - centre) / sigma,
//   up_i = max(0, up_{i-1} + z_i - k),  down_i = max(0, down_{i-1} - z_i - k),
// and a signal when either exceeds h. k is half the shift that should be
// found soonest. With a head start (fast initial response, Lucas and Crosier
// 1982, Technometrics 24:199) both sums begin at h times `head_start`.
#pragma once

#include <limits>

namespace evenfeed {

struct CusumDesign {
  double k = 0.5;         ///< reference value, in sigma; >= 0
  double h = 5;           ///< decision interval, in sigma; > 0
  double head_start = 0;  ///< share of h at which the sums begin, 0 to < 1
  void check() const;
};

struct CusumPoint {
  double up = std::numeric_limits<double>::quiet_NaN();  ///< in sigma
  double down = std::numeric_limits<double>::quiet_NaN();
  bool signal_up = false;
  bool signal_down = false;
  /// Values since the sum was last 0: counted back from a signal they give
  /// the first value after the change.
  int since_up = 0;
  int since_down = 0;
  bool signal() const { return signal_up || signal_down; }
};

class CusumChart {
 public:
  /// sigma >= 0; with 0 every value other than the centre signals.
  CusumChart(double centre, double sigma, const CusumDesign& design);
  /// A value that is not finite leaves the sums as they are: the point
  /// repeats the last one and does not signal.
  CusumPoint add(double value);
  const CusumPoint& last() const { return last_; }
  const CusumDesign& design() const { return design_; }

 private:
  double centre_;
  double sigma_;
  CusumDesign design_;
  CusumPoint last_;
};

}  // namespace evenfeed
