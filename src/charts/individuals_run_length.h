// SPDX-License-Identifier: MIT
// Average run length of the individuals chart alone and together with its
// chart of moving ranges, for independent normal values with known mean and
// sd: the feeds up to and with the signalling one.
//
// Together (Crowder 1987, Technometrics 29:401 and JQT 19:98): given the last
// value x inside +-m,
//   L(x) = 1 + int L(y) phi(y - shift) dy over |y| < m, |y - x| < r,
// as a Markov chain of narrow cells (Brook and Evans 1972, Biometrika 59:539).
#pragma once

#include <limits>

namespace evenfeed {

/// Lines at centre +- `width` sd, upper line of the moving ranges at
/// `range_limit` sd (infinite: no range chart); `shift` of the mean in sd.
double individuals_run_length(
    double width,
    double shift,
    double range_limit = std::numeric_limits<double>::infinity());

/// 1 / (2 Phi(-width)) = run_length.
double individuals_width(double run_length);

/// The width m at which both charts together, ranges limited at sqrt(2) m,
/// have the in-control run length (> 2): a value and a range are then equally
/// rare beyond their lines. Computed once per argument and then remembered.
double individuals_and_range_width(double run_length);

}  // namespace evenfeed
