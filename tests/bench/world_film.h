// SPDX-License-Identifier: MIT
// Random worlds as films: what sightings with noise leave out, a detector
// among colours, light, noise and compression.
#pragma once

#include "bench/world_score.h"

#include <filesystem>
#include <string>

namespace evenfeed {

/// The world of that number with looks, nuisances and storage drawn too; short,
/// and no more pictures than can be rendered: 8 feeds, none a mis-feed.
RandomWorld draw_film_world(const Profile& profile, std::uint64_t seed);

/// Renders the film into `folder`, unless one of this number is there already,
/// and measures it with the world's bench. Film, bench and sightings stay, to
/// be looked at and measured again.
WorldScore measure_world_film(const RandomWorld& world,
                              const std::filesystem::path& folder);

}  // namespace evenfeed
