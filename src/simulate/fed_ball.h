// SPDX-License-Identifier: MIT
// Which ball a feed is thrown with: balls of one make differ a little in size,
// mass and hardness (ITTF leaflet T3 bounds them), so no two feeds fly quite
// alike even when they leave alike.
#pragma once

#include "simulate/ball_path.h"

#include <cstdint>

namespace evenfeed {

/// The world with the ball of one feed, counted from 0: BallPhysics' drag and
/// restitution drawn about their means.
World with_fed_ball(const World& world, std::uint64_t seed, std::size_t feed);

}  // namespace evenfeed
