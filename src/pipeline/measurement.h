// SPDX-License-Identifier: MIT
// How a film or its sightings are measured, and what comes out.
#pragma once

#include "detection/ball_detector.h"
#include "film/video_source.h"
#include "flight/feed_finder.h"
#include "flight/session_fit.h"
#include "flight/track_builder.h"
#include "pipeline/camera_moves.h"
#include "pipeline/film_sightings.h"
#include "pipeline/time_scale.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// Who is shown a film while it is measured.
struct Onlooker {
  /// Once, before any frame: stills of the opening.
  std::function<void(const VideoInfo&, const std::vector<Frame>&)> begin;
  FrameCallback frame;
};

struct MeasureOptions {
  VideoOptions video;
  DetectorOptions detector;
  TrackOptions tracks;
  FinderOptions finder;
  SessionFitOptions session;
  WatchOptions watch;  ///< over the camera, for a film
  /// The bench was calibrated on this very film, from stills all over it: it is
  /// not asked again whether its opening shows the table where the bench has
  /// it. A film knocked half way would be refused, and is followed instead.
  bool bench_of_this_film = false;
  /// By how much the speed of a film may have been changed that no camera wrote
  /// itself, sd of the logarithm: 24 pictures a second shown at 25 are two of
  /// it (common practice, no source).
  double retimed_sd = 0.02;
  bool in_threads = true;  ///< detection beside decoding, for a film
  bool listen = false;     ///< for bounces in the film's sound too
  /// Where the sound was taken, table frame; at the camera if not given.
  std::optional<Eigen::Vector3d> microphone_m;
  bool microphone_at_sample = false;  ///< clipped to it, wherever it stands
  Onlooker onlooker;                  ///< for a film
  bool keep_sightings = false;  ///< for a sightings file; memory grows with it
  void check() const;
};

/// What a film's clock may be off by, a share (JointOptions::clock_sd).
[[nodiscard]] double clock_sd_of(const VideoInfo& film,
                                 const MeasureOptions& options);

struct Measurement {
  SessionFit fit;
  TrackCounts counts;
  int frames = 0;
  double duration_s = 0;
  double slow = 1;                       ///< VideoInfo::slow
  std::vector<Sighting> sightings;       ///< only with keep_sightings
  std::vector<std::string> notes;        ///< what was mended in the film
  std::vector<CameraMove> camera_moves;  ///< told in fit.warnings too
  /// Pictures were doubled, blended or invented; told in notes too.
  bool saved_again = false;
  /// Fewer pictures a second were taken than are shown: no time is right.
  bool mistimed = false;
  /// Why there was nothing to hear, of a film that was listened to.
  std::string why_silent;
  /// The time scale the flights speak for, if the film's own is wrong; told in
  /// fit.warnings too.
  std::optional<TimeScale> time_scale;
};

}  // namespace evenfeed
