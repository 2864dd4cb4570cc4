// SPDX-License-Identifier: MIT
// Sizes and correction factors of the minimum covariance determinant (mcd.h).
#pragma once

namespace evenfeed {

/// floor(2 n2 - n + 2 (n - n2) share), n2 = floor((n + p + 1) / 2).
int mcd_subset_size(int n, int p, double share);

/// share / P(chi2_{p+2} <= chi2_{p; share}); 1 for share = 1.
double mcd_consistency(int p, double share);

/// The factors of Pison, Van Aelst and Willems for the raw and for the
/// reweighted covariance.
double mcd_small_sample_raw(int n, int p, double share);
double mcd_small_sample_reweighted(int n, int p, double share);

}  // namespace evenfeed
