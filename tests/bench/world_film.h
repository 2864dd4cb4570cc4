// SPDX-License-Identifier: MIT
// Random worlds as films: what sightings with noise leave out, a detector
// among colours, light, noise and compression.
#pragma once

#include <filesystem>
#include <string>

#include "bench/world_score.h"

namespace evenfeed {

/// The world of that number with looks, nuisances and storage drawn too; short,
/// and no more pictures than can be rendered: 8 feeds, none a mis-feed.
RandomWorld draw_film_world(const Profile& profile, std::uint64_t seed);

/// Renders the film into `folder`, measures it with the world's bench, takes
/// the film away again.
WorldScore measure_world_film(const RandomWorld& world,
                              const std::filesystem::path& folder);

/// What calibrating the empty hall's picture came to.
struct ViewScore {
  enum class Kind { kRight, kRough, kRefused, kWrong } kind = Kind::kRefused;
  double worst_corner_m = 0;  ///< of the surface's corners, as the solved
                              ///< camera sees them, at the table
  double focal_sigmas = 0, eye_sigmas = 0;  ///< error over stated
  std::string said;                         ///< when refused
};

/// Calibrates from the still; right: corners within 10 mm, rough: 50 mm.
ViewScore calibrate_world(const RandomWorld& world);

}  // namespace evenfeed
