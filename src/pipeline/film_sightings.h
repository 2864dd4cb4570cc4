// SPDX-License-Identifier: MIT
// A film's sightings frame by frame, with every processor at work.
//
//   decoding -> brightness, camera -> colour -> whoever calls next()
//
// Each step is a thread of its own that sees the frames in order and hands
// them on through a short queue. What a step keeps (background, light) only
// that step touches, so the sightings are the same whatever the number of
// threads and however they happen to run.
#pragma once

#include "calibration/camera_watch.h"
#include "detection/ball_detector.h"
#include "film/video_source.h"
#include "geometry/sighting.h"

#include <functional>
#include <memory>
#include <optional>
#include <vector>

namespace evenfeed {

struct FrameSightings {
  int index = -1;
  double t_s = 0;
  /// Of its time, common to the frames about it: of a camera's clock that was
  /// found from stamps that jitter. 0 for a film's own.
  double s_t_s = 0;
  std::vector<Sighting> sightings;  ///< left to right
  WatchNews news;                   ///< of the camera, up to this frame
};

/// Is shown every frame with what was seen in it, in order, in a thread that
/// is not that of whoever takes the sightings.
using FrameCallback =
    std::function<void(const Frame&, const std::vector<Sighting>&)>;

/// The next frame; nullopt at the end.
using FrameGiver = std::function<std::optional<Frame>()>;

class FilmSightings {
 public:
  /// Reads `film` to its end with `detector`, and `watch`, if there is one,
  /// looks at the camera; all belong to this while it lives, and `watch` is
  /// finished after the last frame. `in_threads` false: everything but decoding
  /// in next()'s thread.
  FilmSightings(VideoSource& film,
                BallDetector& detector,
                bool in_threads,
                CameraWatch* watch = nullptr,
                FrameCallback onlooker = {});
  /// The same of frames from anywhere; `give` is called in a thread of its own.
  FilmSightings(FrameGiver give,
                BallDetector& detector,
                bool in_threads,
                CameraWatch* watch = nullptr,
                FrameCallback onlooker = {});
  /// Stops early when not everything was taken.
  ~FilmSightings();
  FilmSightings(const FilmSightings&) = delete;
  FilmSightings& operator=(const FilmSightings&) = delete;

  /// The next frame's; nullopt at the end. Throws what reading or detecting
  /// threw, after the frames before it.
  std::optional<FrameSightings> next();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
