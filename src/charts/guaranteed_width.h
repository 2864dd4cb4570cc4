// SPDX-License-Identifier: MIT
// Limits for a mean and an sd estimated from n values that promise something
// about this baseline, not about baselines on average: with the stated
// probability, its own in-control run length is at least the one asked for
// (the guaranteed performance of Gandy and Kvaloy 2013, Scand. J. Stat.
// 40:647).
//
// Lines stand at mean +- width sd. For normal values the mean is off by
// z / sqrt(n) sigma and the sd by a factor q with (n - 1) q^2 chi-squared, so
// the run length is that of a chart with lines +- width q sigma whose process
// is shifted by z / sqrt(n). With W(d) the width that a known chart needs
// under a shift d, the guarantee is
//   P(width q >= W(|z| / sqrt(n))) = confidence,
// an integral over z, solved for width: no simulation is needed. For the
// individuals chart the answer is the exact two-sided tolerance factor.
#pragma once

namespace evenfeed {

/// All of them: n >= 2 values in the baseline, in-control run length > 2,
/// 0 < confidence < 1. Computed once per argument list and then remembered.
double guaranteed_individuals_width(double run_length,
                                    int n,
                                    double confidence);

/// Of the EWMA chart with growing limits. The width for known parameters is
/// scaled by what fixed limits would need more.
double guaranteed_ewma_width(double lambda,
                             double run_length,
                             int n,
                             double confidence);

/// Of moving ranges, which no error of the mean can move.
double guaranteed_range_limit(double run_length, int n, double confidence);

}  // namespace evenfeed
