// SPDX-License-Identifier: MIT
// Links sightings of successive frames into tracks. It works in the picture,
// where a ball between two frames moves nearly straight, and holds only what
// is still moving: memory does not grow with the film.
//
// A track starts with three sightings on a nearly straight, evenly spaced
// line; it is prolonged by the sighting nearest to where its last steps
// point, and ends when it has not been seen for a while or the ball turned
// back (a sample, a net or a wall sent it away: that is a new track).
#pragma once

#include "flight/track.h"

#include <vector>

namespace evenfeed {

struct TrackOptions {
  double longest_gap_s = 0.15;    ///< not seen for longer: the track has ended
  int longest_gap_frames = 6;     ///< but at least this many frames
  double fastest_px_per_s = 2e4;  ///< no ball crosses the picture faster
  double slowest_px_per_s = 60;   ///< slower things are not balls in flight
  double gate_px = 4;             ///< smallest search radius
  double gate_per_step = 0.35;    ///< plus this part of the step, to start
  double gate_per_bounce = 0.8;   ///< and to prolong: a bounce bends the path

  void check() const;
};

class TrackBuilder {
 public:
  explicit TrackBuilder(const TrackOptions& options) : options_(options) {}

  /// Takes the sightings of one frame stamped t_frame_s (frames in order of
  /// time, empty ones too) and returns the tracks that have ended.
  [[nodiscard]] std::vector<Track> add_frame(
      double t_frame_s, const std::vector<Sighting>& sightings);
  /// Those that have not ended.
  const std::vector<Track>& open() const { return open_; }
  /// The usual time from frame to frame; 0 before the second one.
  double frame_step_s() const { return frame_step_s_; }
  /// When the oldest track that has not ended began; infinity without one.
  double open_since_s() const;
  /// Ends everything still open.
  [[nodiscard]] std::vector<Track> finish();

 private:
  struct Loose {
    Sighting sighting;
    double t_frame_s;
  };

  void prolong(std::vector<Sighting>& free);
  void start_new(double t_frame_s, const std::vector<Sighting>& free);
  double gap_s() const;

  TrackOptions options_;
  std::vector<Track> open_;
  std::vector<Loose> loose_;  ///< of the last two frames, in no track yet
  double last_frame_s_ = 0;
  double frame_step_s_ = 0;  ///< smoothed
};

}  // namespace evenfeed
