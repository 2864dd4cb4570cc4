// SPDX-License-Identifier: MIT
// Average run length of the CUSUM chart for independent normal values with
// known mean and sd: the feeds up to and with the signalling one.
//
// One-sided, begun at u (Page 1954; Vance 1986, JQT 18:188):
//   L(u) = 1 + L(0) Phi(k - u - shift)
//            + int_0^h L(y) phi(y + k - u - shift) dy,
// solved by Gauss-Legendre (Nystrom). Two-sided, from the one-sided ones of
// either direction: 1/L = 1/L_up + 1/L_down begun at 0 (Kemp 1961), and with
// a head start the form of Lucas and Crosier (1982, Technometrics 24:199),
//   (L_up(u) L_down(0) + L_down(u) L_up(0) - L_up(0) L_down(0))
//     / (L_up(0) + L_down(0)).
#pragma once

#include "charts/cusum.h"

namespace evenfeed {

/// `shift` of the mean in sd.
double cusum_run_length(const CusumDesign& design, double shift);

/// The decision interval h of the two-sided chart that gives the in-control
/// run length (> 2). Computed once per argument list and then remembered.
double cusum_limit(double k, double run_length, double head_start = 0);

}  // namespace evenfeed
