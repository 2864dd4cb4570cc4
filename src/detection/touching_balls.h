// SPDX-License-Identifier: MIT
// Two balls whose pictures touch or lie over each other: one that comes and
// one that rolls home. Taken for one ball they are a streak between the two,
// at the place of neither. Each is fitted over the picture of the other, in
// turns, with the model of streak_fit.h.
#pragma once

#include "detection/streak_fit.h"

#include <array>
#include <optional>

namespace evenfeed {

using StreakPair = std::array<Streak, 2>;

/// Two places to start from: what has changed in the patch by a good part of
/// `step` (signed, in the patch's unit), parted in two. `one` gives both their
/// size and outline. Nothing when too little has changed.
std::optional<StreakPair> part_in_two(const StreakPatch& patch,
                                      const Streak& one,
                                      double step);

struct TouchingFit {
  std::array<StreakFit, 2> balls;
  /// What is left of the patch unexplained, as part of what one ball alone
  /// leaves (or no ball, where none was fitted): sums of squares.
  double left_part = 1;
  bool converged() const { return balls[0].converged && balls[1].converged; }
};

/// Fits both, from places as part_in_two gives them. `one`: the single ball
/// that they are compared with, if one could be fitted.
TouchingFit fit_touching(const StreakPatch& patch,
                         const StreakPair& starts,
                         const std::optional<Streak>& one,
                         double brightness,
                         const ShadePrior& shade,
                         const StreakFitOptions& options = {});

}  // namespace evenfeed
