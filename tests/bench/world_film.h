// SPDX-License-Identifier: MIT
// Random worlds as films: what sightings with noise leave out, a detector
// among colours, light, noise and compression.
#pragma once

#include "bench/world_score.h"

#include <cstddef>
#include <filesystem>
#include <string>

namespace evenfeed {

/// The world of that number with looks, nuisances and storage drawn too; short,
/// and no more pictures than can be rendered: 8 feeds, none a mis-feed.
RandomWorld draw_film_world(const Profile& profile, std::uint64_t seed);

/// How far sightings lie from where the world's balls were, medians over those
/// that are of a ball and not cut off. A mean over the feeds hides what the
/// detector does to each picture.
struct SightingErrors {
  std::size_t sightings = 0;
  double off_px = 0;         ///< both axes together
  double off_in_sigmas = 0;  ///< per axis; 0.83 where errors are as stated
};

struct FilmScore {
  WorldScore score;
  SightingErrors seen;
};

/// Renders the film into `folder`, unless one of this number is there already,
/// and measures it with the world's bench. Film, bench and sightings stay, to
/// be looked at and measured again.
FilmScore measure_world_film(const RandomWorld& world,
                             const std::filesystem::path& folder);

}  // namespace evenfeed
