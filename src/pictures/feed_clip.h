// SPDX-License-Identifier: MIT
// A feed cut out of its film, frame by frame, with its measured flight growing
// behind the ball, or as it was filmed.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/camera_model.h"
#include "pictures/flown_part.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct ClipOptions {
  int slow = 1;        ///< every frame is shown so many times
  bool plain = false;  ///< nothing is drawn
  double crf = 18;     ///< H.264 constant rate factor
  /// What the film's times were divided by when it was measured (VideoInfo).
  std::optional<double> film_slow;
  void check() const;
};

struct ClipPart {
  double from_s = 0;               ///< as taken, after the film's first frame
  double until_s = 0;              ///< to the last frame that is not later
  FlownFeed feed;                  ///< by film_px; no path: only the words
  std::vector<std::string> words;  ///< lines for the corner
};

struct ClipMade {
  int frames = 0;  ///< of the film; shown `slow` times each
  double first_s = 0, last_s = 0;
  std::string sound_left_out;  ///< why; empty when kept or never there
};

/// Writes `file` (MP4). A frame shows as much of the flight as had been flown
/// at mid-exposure of the ball's row (camera: exposure, readout). Pictures are
/// upright. Throws InputError when the film cannot be read, has no frame in the
/// part, or `file` cannot be written; then it may be there in part.
[[nodiscard]] ClipMade write_clip(const std::filesystem::path& film,
                                  const ClipPart& part,
                                  const CameraModel& camera,
                                  const std::filesystem::path& file,
                                  const ClipOptions& options = {});

}  // namespace evenfeed
