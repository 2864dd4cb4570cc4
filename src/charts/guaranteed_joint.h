// SPDX-License-Identifier: MIT
// The guarantee of charts/guaranteed_width.h for charts of several
// characteristics at once (Gandy and Kvaloy 2013): baselines of n normal
// vectors are drawn, each one's own limit for the in-control run length is
// found, and the limit is the one that the stated share of them would have
// been content with. Distances do not depend on the true mean and covariance,
// so a design is a matter of p, n, lambda and the run length.
//
// In a metric S and around a centre that are both wrong, the squared distance
// of an in-control vector is a weighted sum of noncentral chi-squareds: its
// law is Pearson's approximation with three moments (Imhof 1961, Biometrika
// 48:419). A baseline's own limits are then
// T2      the value that is exceeded once per run length;
// MEWMA   the value that is as rare for the settled z, whose centre is off by
//         sqrt((2 - lambda) / lambda) times more, as the limit for known
//         parameters (from the integral equation) is under chi-squared: how
//         crossings cluster is taken to be the same;
// spread  mean + sd times the width for known parameters, mean and sd being
//         those of t2_score() under this law.
// tests/bench/guarantee counts, by simulated runs, the baselines that keep it.
#pragma once

namespace evenfeed {

struct GuaranteedJoint {
  double t2 = 0;      ///< limit of T2
  double mewma = 0;   ///< limit of z' S^-1 z / (lambda / (2 - lambda) growth)
  double spread = 0;  ///< width of the EWMA of t2_score(), its upper line
};

/// p >= 1 characteristics, n > p + 2 vectors. Computed once per argument list
/// and then remembered; always the same for the same arguments.
GuaranteedJoint guaranteed_joint(
    int p, int n, double lambda, double run_length, double confidence);

}  // namespace evenfeed
