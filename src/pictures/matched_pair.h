// SPDX-License-Identifier: MIT
// Two trials that got the same feed: what is needed to draw them together.
#pragma once

#include "flight/feed.h"
#include "flight/flown_feed.h"
#include "geometry/camera_model.h"

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// One of the two.
struct PairedTrial {
  std::string sample;  ///< its name, for people
  std::filesystem::path film;
  /// What the film's times were divided by when it was measured (VideoInfo).
  std::optional<double> film_slow;
  CameraModel camera;
  Feed feed;        ///< as measured: its return is compared
  FlownFeed flown;  ///< by film_px

  /// When it met the sample; nothing when that is not known.
  [[nodiscard]] std::optional<double> contact_s() const;
};

using MatchedPair = std::array<PairedTrial, 2>;

/// Why the two cannot be synchronised; empty when they can.
[[nodiscard]] std::string why_not_together(const MatchedPair& pair);

/// The first's return beside the second's, a line each: at the net, the highest
/// place, the speed. Uncertainties are 95 % (twice the standard ones). What is
/// not known of one of the two is said so, of both left out.
[[nodiscard]] std::vector<std::string> difference_words(
    const MatchedPair& pair);

}  // namespace evenfeed
