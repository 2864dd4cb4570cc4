// SPDX-License-Identifier: MIT
// Random worlds and how they were measured, for people.
#pragma once

#include "bench/world_score.h"

#include <vector>

namespace evenfeed {

struct JudgedWorld {
  RandomWorld world;
  WorldScore score;
};
/// All of them: by quantity, by group, and the worst. See worlds.cpp.
void print_worlds(const std::vector<JudgedWorld>& judged);

/// One of them, feed by feed.
void print_world(const JudgedWorld& one);

}  // namespace evenfeed
