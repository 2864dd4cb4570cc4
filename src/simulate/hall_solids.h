// SPDX-License-Identifier: MIT
// What is solid in the hall of a scene.
#pragma once

#include "simulate/hall.h"

#include <vector>

namespace evenfeed {

/// The solids of a scene: table, net posts, launcher, sample, clutter.
std::vector<Box> hall_boxes(const Scene& scene);
std::vector<Capsule> hall_capsules(const Scene& scene);

}  // namespace evenfeed
