// SPDX-License-Identifier: MIT
// Sightings as the calibrated camera would have seen them, whatever was done to
// it since. Frames are kept until it is settled how the camera stood, and
// handed on in order. A camera that did not move changes no sighting.
//
// After a knock the edges of all things lie beside those of the background
// until that is learnt anew, and look like balls that stand still: sightings
// that stay in one place from frame to frame are left out for that while.
#pragma once

#include "pipeline/camera_moves.h"
#include "pipeline/film_sightings.h"

#include <deque>
#include <optional>
#include <vector>

namespace evenfeed {

class SteadyFrames {
 public:
  /// Exact for balls at `height_m` over the table (steady_view.h); the detector
  /// needs `learning_s` to learn a new background.
  SteadyFrames(const CameraModel& calibrated,
               double height_m,
               double learning_s);

  void add(FrameSightings frame);
  /// What is still to come of the watch when there are no more frames.
  void finish(WatchNews last);
  /// The next settled frame; nullopt when there is none now.
  std::optional<FrameSightings> next();

  /// The same as far as is known now, without waiting.
  [[nodiscard]] std::vector<Sighting> at_once(
      std::vector<Sighting> sightings) const;

  const std::vector<CameraStance>& stances() const { return stances_; }

 private:
  void take(WatchNews news);
  bool learning_at(double t_s) const;
  void leave_out_what_stays(std::vector<Sighting>& sightings) const;

  CameraModel calibrated_;
  double height_m_;
  double learning_s_;
  std::deque<FrameSightings> waiting_;
  std::deque<std::vector<Sighting>> handed_on_;  // the last few, as seen
  std::vector<CameraStance> stances_;
  std::size_t stance_ = 0;  // how many began before the frame last handed on
  double settled_until_s_ = 0;
};

}  // namespace evenfeed
