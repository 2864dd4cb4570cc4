// SPDX-License-Identifier: MIT
// The guarantee of charts/guaranteed_width.h for charts of several
// characteristics at once, by simulation (Gandy and Kvaloy 2013): baselines of
// n normal vectors are drawn, each one's own limit for the in-control run
// length is found, and the limit is the one that the stated share of them
// would have been content with. Distances do not depend on the true mean and
// covariance, so a design is a matter of p, n, lambda and the run length.
//
// T2: the in-control tail of a squared distance from a wrong centre in a wrong
// metric, a weighted sum of noncentral chi-squareds, by Pearson's
// approximation with three moments (Imhof 1961, Biometrika 48:419).
// MEWMA and the spread: series are drawn once, half of which should cross
// within ln 2 run lengths; each baseline's limit is the median of their
// maxima, taken relative to that of the true parameters, whose limit is known
// from the integral equations.
#pragma once

namespace evenfeed {

struct GuaranteedJoint {
  double t2 = 0;      ///< limit of T2
  double mewma = 0;   ///< limit of z' S^-1 z / (lambda / (2 - lambda) growth)
  double spread = 0;  ///< width of the EWMA of t2_score(), its upper line
};

/// p >= 1 characteristics, n > p + 2 vectors. n is rounded down to one of a
/// ladder of sizes, which never narrows a limit. Computed once per argument
/// list (a fraction of a second) and then remembered.
GuaranteedJoint guaranteed_joint(
    int p, int n, double lambda, double run_length, double confidence);

/// The size that n is rounded down to.
int guaranteed_ladder(int n);

}  // namespace evenfeed
