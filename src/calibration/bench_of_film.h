// SPDX-License-Identifier: MIT
// Whether a bench was calibrated on the film it is given with. Looking only
// near where a bench puts the lines, some are always found: the side lines stay
// on themselves when the table slides along them. So lines along and across the
// table must both be where the bench has them, and when they are not, the table
// is looked for in the whole picture.
#pragma once

#include "film/frame.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BenchCheckOptions {
  /// How far the lines may lie from where the bench has them: as far as the
  /// camera watch follows them (LineSiteOptions::reach_px).
  double reach_px = 6;
  /// Of the cuts along the table, and of those across it, must find their
  /// line. Two ends of which one is hidden leave a half.
  double least_share = 0.4;
  int least_cuts = 10;  ///< in each direction, to tell at all
  void check() const;
};

/// By how much the bench misses the film, as words; empty when it does not, or
/// when the picture shows too little of the surface to say. `still` is CV_8U
/// brightness without balls, of the size the bench was calibrated with.
[[nodiscard]] std::string why_not_of_film(
    const cv::Mat& still,
    const CameraModel& camera,
    const Surface& surface,
    const BenchCheckOptions& options = {});

/// The same of a film's first pictures, whose median has no balls. Empty of
/// none.
[[nodiscard]] std::string why_not_of_film(const std::vector<Frame>& stills,
                                          const CameraModel& camera,
                                          const Surface& surface);

}  // namespace evenfeed
