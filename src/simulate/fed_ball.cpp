// SPDX-License-Identifier: MIT
#include "simulate/fed_ball.h"

#include "base/random.h"

#include <algorithm>

namespace evenfeed {

World with_fed_ball(const World& world, std::uint64_t seed, std::size_t feed) {
  World own = world;
  RandomEngine engine = derived_engine(seed, "fed ball", feed);
  std::normal_distribution<double> normal;
  BallPhysics& ball = own.ball;
  ball.drag_coefficient *=
      std::max(0.0, 1 + ball.drag_share_sd * normal(engine));
  ball.restitution = std::clamp(
      ball.restitution + ball.restitution_sd * normal(engine), 0.0, 1.0);
  return own;
}

}  // namespace evenfeed
