// SPDX-License-Identifier: MIT
// What a camera saw to feeds, whatever was done to it since it was calibrated.
#pragma once

#include "calibration/camera_watch.h"
#include "pipeline/feed_measurer.h"
#include "pipeline/steady_frames.h"

#include <vector>

namespace evenfeed {

/// A session from what was seen in each frame, as it was seen, with
/// what the watch over the camera says of it. Films and live pictures go
/// through here.
class FrameMeasurer {
 public:
  FrameMeasurer(const Bench& bench,
                const Profile& profile,
                const MeasureOptions& options);

  /// Frames in order.
  void add(FrameSightings frame);
  /// There are no more; what is left is settled.
  void end(WatchNews last);
  FeedMeasurer& feeds() { return feeds_; }
  /// After end(): where the film shows that it was cut, what it does when its
  /// camera is knocked left out; returned is what is left.
  std::vector<double> note_joins(std::vector<double> joins_s);
  const SteadyFrames& steady() const { return steady_; }
  /// Of the last frame whose sightings were measured.
  double settled_s() const { return settled_s_; }
  /// After end(), once. `slow`: VideoInfo::slow.
  Measurement finish(const CameraWatch& watch, double slow);

 private:
  void measure_settled();

  const Bench& bench_;
  const Profile& profile_;
  MeasureOptions options_;
  SteadyFrames steady_;
  FeedMeasurer feeds_;
  double settled_s_ = 0;
};

}  // namespace evenfeed
