// SPDX-License-Identifier: MIT
// How far will the mean still move, if everything since the first feed is one
// settling process? mean(i) = a + b e^(-i/tau), for tau from 3 feeds to a
// straight line. A lucky quiet stretch at the end of a long drift is no proof
// of stability; this is asked beside the window of quality/warm_up.h.
//
// Each tau is fitted by least squares; those whose residuals are as small as
// the best ones' (chi-squared 95 % of the likelihood ratio) are believed, and
// the bound is the largest upper confidence bound among them. The settling
// time that is told is that of the best curve, between the taus tried too.
#pragma once

#include <vector>

namespace evenfeed {

struct Settling {
  /// False: too few values, or no settling curve follows them (steps, say);
  /// then nothing is known from here.
  bool fits = false;
  double movement = 0;   ///< upper bound of |movement| over the horizon
  double tau = 0;        ///< best settling time in feeds; infinite: a line
  double amplitude = 0;  ///< b, at the first value; 0 for a line
  /// True: b differs from 0 by more than 4 standard errors and tau is finite.
  bool certain = false;
  double ahead = 0;     ///< |movement| of the best curve over the horizon
  int first = 0;        ///< index of the first value used
  double strength = 0;  ///< |b|, or a line's slope, in its standard errors

  /// Feeds until the best curve moves less than `allowed` over the horizon; 0:
  /// it does now, or it never will.
  int feeds_until(double allowed) const;
};

/// `values` in order of time, NaN: not known; at most the last 240 are used.
Settling fit_settling(const std::vector<double>& values,
                      double horizon_feeds,
                      double confidence);

}  // namespace evenfeed
