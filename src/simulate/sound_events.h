// SPDX-License-Identifier: MIT
// What makes a sound on the bench, when and where: every contact of every ball,
// the launcher as it feeds, balls on a neighbouring table.
#pragma once

#include "simulate/scene.h"

#include <cstdint>
#include <vector>

namespace evenfeed {

enum class SoundKind { kTable, kFloor, kSample, kNet, kLauncher, kNeighbour };

struct SoundEvent {
  SoundKind kind = SoundKind::kTable;
  double t_s = 0;  ///< when it is made, by the picture's clock
  Eigen::Vector3d place_m = Eigen::Vector3d::Zero();
  double impact_mps = 0;  ///< speed of the ball into what it meets
};

/// In order of time.
std::vector<SoundEvent> sound_events(const Scene& scene, std::uint64_t seed);

}  // namespace evenfeed
