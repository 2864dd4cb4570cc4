// SPDX-License-Identifier: MIT
// A ball near the surface touches its own shadow in the picture. Fitted against
// the surface in full light its edge there looks too bright a step, and the
// centre is drawn away from the shadow by some tenths of a pixel. The shadow is
// seen beside the ball: a pixel under the soft edge is taken to be as dark as
// those around it that the ball leaves free,
//
//   B'(x) = B(x) sum_y w(x - y) min(1 + 2 s(y) / B(y), I(y) / B(y))
//           / sum_y w(x - y),   w(d) = 1 / (1 + |d|^2)^2,
//
// over the free pixels y within a few pixels of x (inverse distance weights:
// Shepard 1968), x itself left out: a background that repeats the noise would
// fit better whether or not there is a shadow. What is brighter than the
// surface by more than twice its noise s is the ball.
#pragma once

#include "detection/streak_fit.h"

#include <optional>

namespace evenfeed {

/// `fit` of a bright ball in `lit`, once more with the shadow that is seen
/// beside it; `radius_px` and the rest are as for fit_streak(). nullopt where
/// there is none: the fit leaves nothing to explain, or is no better with one.
/// A ball of less than 5 px has only a shadow that is plainly seen, and has
/// that whatever the fit says: its few pixels fit the noise. The patch's values
/// must be proportional to light.
std::optional<StreakFit> fit_beside_shadow(const StreakFit& fit,
                                           const StreakPatch& lit,
                                           double radius_px,
                                           double brightness,
                                           const ShadePrior& shade,
                                           const StreakFitOptions& options);

}  // namespace evenfeed
