// SPDX-License-Identifier: MIT
// A feed in one still: the empty scene with the ball of every sighting in it,
// its fitted flight drawn over that, and below it the bounce enlarged.
#pragma once

#include "flight/flown_feed.h"
#include "pictures/cut_spool.h"

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct StillOptions {
  int width_px = 720;       ///< of the still, at most; the height likewise
  int most_bytes = 13'500;  ///< of its file: 500 of them make a page of 9 MB
  /// Quality of the JPEG to begin with; less where that is too large, then a
  /// smaller picture.
  int quality = 76;
  void check() const;
};

/// Where a part of the film's picture lies in a picture made of it: turned
/// upright, then enlarged.
struct PictureView {
  cv::Rect area;         ///< of the film's picture, as it is stored
  int rotation_deg = 0;  ///< clockwise: 0, 90, 180, 270
  double scale = 1;

  cv::Size size() const;  ///< of the picture made
  Eigen::Vector2d operator()(const Eigen::Vector2d& film_px) const;
};

/// Part of the picture that holds the flight and all sightings.
[[nodiscard]] PictureView view_of_feed(const FlownFeed& feed,
                                       const cv::Size& picture,
                                       int rotation_deg,
                                       const StillOptions& options);

/// The same around the bounce alone, `size` large, its ball about 44 pixels
/// wide; nothing without a bounce.
[[nodiscard]] std::optional<PictureView> view_of_bounce(const FlownFeed& feed,
                                                        const cv::Size& picture,
                                                        int rotation_deg,
                                                        const cv::Size& size);

/// The cuts among `frames` (those of the sightings' frames) that show this
/// feed's sightings, in their order, moved to where the calibrated camera would
/// have seen them. Sightings without a cut are left out.
[[nodiscard]] std::vector<BallCut> cuts_of_feed(
    const FlownFeed& feed, const std::vector<BallCut>& frames);

/// `scene` (CV_8UC3) with the balls in it: their own pixels, faded out around
/// them.
[[nodiscard]] cv::Mat with_balls(const cv::Mat& scene,
                                 const FlownFeed& feed,
                                 const std::vector<BallCut>& cuts);

/// The still as a JPEG. `scene`: the empty scene, CV_8UC3, as the film stores
/// it. Throws std::logic_error for options that cannot be.
[[nodiscard]] std::string draw_feed(const cv::Mat& scene,
                                    int rotation_deg,
                                    const FlownFeed& feed,
                                    const std::vector<BallCut>& cuts,
                                    const StillOptions& options = {});

}  // namespace evenfeed
