// SPDX-License-Identifier: MIT
// Average run length of the two-sided EWMA chart for independent normal
// values with known mean and sd: the feeds up to and with the signalling one.
//
// Fixed limits: the integral equation of Crowder (1987, Technometrics 29:401),
//   L(u) = 1 + 1/lambda int L(y) phi((y - (1 - lambda) u)/lambda - shift) dy
// over the interval between the limits, solved by Gauss-Legendre (Nystrom).
// Growing limits: the density of the statistic is carried forward until the
// limits have settled, and the fixed-limit solution takes over from there.
#pragma once

namespace evenfeed {

enum class EwmaLimits { kFixed, kGrowing };

/// `width` in sd of the settled statistic, `shift` of the mean in sd of the
/// values; the statistic starts at the centre.
double ewma_run_length(double lambda,
                       double width,
                       double shift,
                       EwmaLimits limits);

/// The width that gives the in-control run length (> 2). Computed once per
/// argument list and then remembered.
double ewma_width(double lambda, double run_length, EwmaLimits limits);

}  // namespace evenfeed
