// SPDX-License-Identifier: MIT
// Sightings to tracks to feeds, frame by frame.
#pragma once

#include "flight/glossy_table.h"
#include "flight/one_feed.h"
#include "geometry/bench.h"
#include "geometry/halting_balls.h"
#include "pipeline/measurement.h"
#include "pipeline/profile.h"

#include <map>
#include <utility>
#include <vector>

namespace evenfeed {

/// One session, fed frame by frame.
class FeedMeasurer {
 public:
  FeedMeasurer(const Bench& bench,
               const Profile& profile,
               const MeasureOptions& options);

  /// From here on the frames' own times are known to `s_t_s` (standard), all
  /// alike: it goes into the time of the bounce.
  void note_clock(double t_s, double s_t_s);
  /// Sightings of the frame stamped t_frame_s, frames in order of time.
  void add_frame(double t_frame_s, const std::vector<Sighting>& sightings);
  /// How often all feeds were found anew: the table was seen to be glossy.
  int begun_again() const { return begun_again_; }
  /// Feeds found so far.
  int feeds() const { return static_cast<int>(found_.size()); }
  /// Those, before anything is known that they share.
  const std::vector<FoundFeed>& found() const { return found_; }
  /// What finish() would give if nothing more came and what is still in flight
  /// did not count. Changes nothing.
  [[nodiscard]] Measurement so_far(const CameraSway& sway = {}) const;
  /// One feed alone, with what those before it told.
  [[nodiscard]] Feed measure_now(const FoundFeed& feed,
                                 const ToldSoFar& told) const;
  /// What is known before the first feed.
  [[nodiscard]] ToldSoFar nothing_told() const;
  /// Before finish(): what is heard of the film.
  void give_ear(Ear ear) { options_.session.ear = std::move(ear); }
  /// Before finish(): where the film was cut.
  void note_joins(std::vector<double> joins_s) {
    options_.session.joins_s = std::move(joins_s);
  }
  /// Ends the session and fits it. Call once. `sway`: of the camera that saw
  /// it.
  Measurement finish(const CameraSway& sway = {});
  /// After finish(): warns of `result` when its flights speak for another time
  /// scale than the film's own, which was said to be `said` (VideoInfo::slow).
  void tell_time_scale(double said, Measurement& result) const;

 private:
  void follow(double t_frame_s, const std::vector<Sighting>& sightings);
  void begin_again();
  /// The first frames with sightings, enough of them to tell a time scale.
  std::vector<TimedFrame> opening() const;
  FeedEnds ends() const;
  Measurement fitted(const CameraSway& sway);
  void allow_for_clock(Feed& feed) const;

  const Bench& bench_;
  const Profile& profile_;
  MeasureOptions options_;
  GlossyTable gloss_;
  TrackBuilder tracks_;
  FeedFinder finder_;
  std::vector<FoundFeed> found_;
  std::vector<TimedFrame> seen_;
  std::size_t seen_sightings_ = 0;
  std::vector<double> frames_s_;  // as long as one may begin again
  int begun_again_ = 0;
  HaltingBalls halting_;
  std::map<double, double> clock_;  // its error, from a time on
  Measurement result_;
};

}  // namespace evenfeed
