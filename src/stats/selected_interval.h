// SPDX-License-Identifier: MIT
// An effect that is told only because it is large looks larger than it is: of
// the estimates just beyond a limit, most were carried there by chance. How
// small may it be? With z = estimate / error > limit, and Student's t about the
// true value theta (in errors), the smallest theta kept is that for which
//   P(T + theta >= z | |T + theta| > limit) = tail
// (Zhong and Prentice 2008, Biostatistics 9:621, with t for the normal; the
// upper end of the ordinary interval holds as it is, since the condition only
// pushes downwards). Far beyond the limit it is the ordinary z - t(tail).
#pragma once

namespace evenfeed {

/// In errors, not above z - t(1 - tail). Breaks the contract for z not above
/// the limit, a limit below 0, degrees not above 0 or a tail outside (0, 0.5).
double least_when_selected(double z, double limit, double degrees, double tail);

}  // namespace evenfeed
