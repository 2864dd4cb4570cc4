// SPDX-License-Identifier: MIT
// A bench film and its truth: what tests and the simulate command use.
#pragma once

#include "simulate/frame_renderer.h"
#include "simulate/true_feeds.h"

#include <filesystem>
#include <functional>
#include <vector>

namespace evenfeed {

/// Where a ball is truly seen in one frame, at mid-exposure of its row.
struct TrueSighting {
  int frame = 0;
  double t_s = 0;
  int ball = 0;  ///< TrueBall::id; feeds count from 0
  BallKind kind = BallKind::kFeed;
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  double diameter_px = 0;
  double seen = 0;  ///< 0..1, how much of its middle nothing hides
};

/// Sightings of every ball in every frame whose centre lies in the picture,
/// ordered by frame.
std::vector<TrueSighting> true_sightings(const FrameRenderer& renderer,
                                         const Scene& scene);

struct Film {
  std::vector<TrueFeed> feeds;
  std::vector<TrueSighting> sightings;
  int frames = 0;
};

/// Called after each frame with frames done and frames in all.
using FilmProgress = std::function<void(int, int)>;

/// Renders the film of a scene to `video` (H.264 in MP4, whole or not at all).
/// The same scene and seed give the same film.
Film simulate(const Scene& scene,
              std::uint64_t seed,
              const std::filesystem::path& video,
              const FilmProgress& progress = {});

/// One frame, or the empty hall, without a film around it.
YuvPicture render_frame(const Scene& scene, std::uint64_t seed, int frame);
YuvPicture render_background(const Scene& scene, std::uint64_t seed = 1);

}  // namespace evenfeed
