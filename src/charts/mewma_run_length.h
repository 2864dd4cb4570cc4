// SPDX-License-Identifier: MIT
// Average run length of the MEWMA chart with known parameters and the settled
// covariance lambda / (2 - lambda).
//
// In control the length r of z is a Markov chain of its own: given r, the next
// |z|^2 / lambda^2 is non-central chi-squared with p degrees of freedom and
// noncentrality ((1 - lambda) r / lambda)^2 (Runger and Prabhu 1996,
// Biometrika 83:701). Its integral equation (Rigdon 1995, J. Stat. Comput.
// Simul. 52:351) is solved by Gauss-Legendre in r.
//
// Under a shift of Mahalanobis length d the part a of z along the shift is
// normal around (1 - lambda) a + lambda d, and the length r of the rest is
// such a chain with p - 1 characteristics (Rigdon 1995, Sequential Analysis
// 14:21). The equation over a^2 + r^2 < h lambda / (2 - lambda) is solved by
// Gauss-Legendre in the angle asin(a / radius) and in r as a share of what a
// leaves.
#pragma once

#include <vector>

namespace evenfeed {

/// `limit` is h, the line for z' V^-1 z; p >= 1 characteristics.
double mewma_run_length(int p, double lambda, double limit);

/// The same under a shift of the mean by `shifts` in Mahalanobis distance,
/// one result per shift. Slower: a third of a second for the first shift.
std::vector<double> mewma_run_lengths(int p,
                                      double lambda,
                                      double limit,
                                      const std::vector<double>& shifts);

/// The limit that gives the in-control run length (> 2). Computed once per
/// argument list and then remembered.
double mewma_limit(int p, double lambda, double run_length);

}  // namespace evenfeed
