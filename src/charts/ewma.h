// SPDX-License-Identifier: MIT
// Exponentially weighted moving average (Roberts 1959; NIST/SEMATECH
// e-Handbook 6.3.2.4; ISO 7870-6): z_i = lambda x_i + (1 - lambda) z_{i-1},
// z_0 = centre, lines at centre +- width * sd(z_i).
//
// sd(z_i)^2 = sigma^2 lambda / (2 - lambda) (1 - (1 - lambda)^2i) g
// grows over the first values; g = (1 + phi (1 - lambda)) / (1 - phi (1 -
// lambda)) holds for values that follow each other with lag-1 autocorrelation
// phi (Schmid 1997), 0 for independent ones. That the centre was estimated is
// the width's affair (guaranteed_width.h).
#pragma once

#include <limits>

namespace evenfeed {

struct EwmaDesign {
  double lambda = 0.1;         ///< 0 < lambda <= 1
  double width = 2.7;          ///< of the lines, in sd of the statistic; > 0
  double autocorrelation = 0;  ///< -1 < phi < 1
  bool growing_limits = true;  ///< false: the limits of an endless series
  void check() const;
};

struct EwmaPoint {
  double value = std::numeric_limits<double>::quiet_NaN();
  double lower = std::numeric_limits<double>::quiet_NaN();
  double upper = std::numeric_limits<double>::quiet_NaN();
  bool signal = false;
};

class EwmaChart {
 public:
  /// sigma >= 0; with 0 every value other than the centre signals.
  EwmaChart(double centre, double sigma, const EwmaDesign& design);
  /// A value that is not finite leaves the statistic and the count as they
  /// are: the point repeats the last one and does not signal.
  EwmaPoint add(double value);
  const EwmaPoint& last() const { return last_; }
  double centre() const { return centre_; }
  /// Distance of the statistic from the centre as a share of the limit's; 0
  /// before the first value.
  double share_of_limit() const;

 private:
  double half_width() const;
  double centre_;
  double sigma_;
  EwmaDesign design_;
  double decay_ = 1;  // (1 - lambda)^2i
  EwmaPoint last_;
};

}  // namespace evenfeed
