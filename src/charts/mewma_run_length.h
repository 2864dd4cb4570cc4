// SPDX-License-Identifier: MIT
// In-control average run length of the MEWMA chart with known parameters and
// the settled covariance lambda / (2 - lambda).
//
// In control the length r of z is a Markov chain of its own: given r, the next
// |z|^2 / lambda^2 is non-central chi-squared with p degrees of freedom and
// noncentrality ((1 - lambda) r / lambda)^2 (Runger and Prabhu 1996,
// Biometrika 83:701). Its integral equation (Rigdon 1995, J. Stat. Comput.
// Simul. 52:351) is solved by Gauss-Legendre in r.
#pragma once

namespace evenfeed {

/// `limit` is h, the line for z' V^-1 z; p >= 1 characteristics.
double mewma_run_length(int p, double lambda, double limit);

/// The limit that gives the in-control run length (> 2). Computed once per
/// argument list and then remembered.
double mewma_limit(int p, double lambda, double run_length);

}  // namespace evenfeed
