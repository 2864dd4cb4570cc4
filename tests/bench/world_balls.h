// SPDX-License-Identifier: MIT
// The balls of a random world: their ways, and what is true of each feed.
#pragma once

#include "bench/world.h"
#include "simulate/true_feeds.h"

#include <string_view>
#include <vector>

namespace evenfeed {

/// How a feed fails.
enum class Misfeed { kNone, kShort, kLong, kDropped };
std::string_view word(Misfeed misfeed);

struct WorldBall {
  BallPath path;
  bool feed = true;  ///< or a stray
  Misfeed misfeed = Misfeed::kNone;
  /// Of a feed. `bounced`: its first touch of anything was the receiving half.
  /// The contact is with the plane that the profile tells, where the ball would
  /// have crossed it if nothing had stood there; hit_sample and the return are
  /// what really happened.
  TrueFeed truth;
  double t_first_touch_s = TrueFeed::kNone;
  double t_second_touch_s = TrueFeed::kNone;
};

/// Feeds first, in order of launch, then strays.
std::vector<WorldBall> throw_balls(const RandomWorld& world);

}  // namespace evenfeed
