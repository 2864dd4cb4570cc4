// SPDX-License-Identifier: MIT
// What could still overturn a result: a hidden cause, or too few pairs.
#pragma once

#include "stats/power.h"
#include "stats/proportions.h"
#include "stats/signed_rank.h"

namespace evenfeed {

/// Rosenbaum's gamma (2002, Observational Studies, chapter 4): the largest
/// odds a hidden cause may give one side of a pair before the two-sided p
/// exceeds `alpha`. NaN when it does without one; at most 1000.
double sensitivity_gamma(const SignedRank& ranks, double alpha);
double sensitivity_gamma(const PairedCounts& counts, double alpha);

/// Smallest difference of paired shares that so many pairs find with the
/// aimed power, when as many disagree as did. NaN when even 1 is not enough.
double detectable_share(const PairedCounts& counts, const TestAim& aim);

}  // namespace evenfeed
