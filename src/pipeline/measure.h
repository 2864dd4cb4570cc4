// SPDX-License-Identifier: MIT
// Frames to sightings to tracks to feeds: the one measuring path, for films,
// for files of sightings and for live pictures.
#pragma once

#include "detection/ball_detector.h"
#include "film/video_source.h"
#include "flight/feed_finder.h"
#include "flight/one_feed.h"
#include "flight/session_fit.h"
#include "flight/track_builder.h"
#include "geometry/bench.h"
#include "geometry/halting_balls.h"
#include "pipeline/camera_moves.h"
#include "pipeline/film_sightings.h"
#include "pipeline/profile.h"
#include "pipeline/steady_frames.h"
#include "pipeline/time_scale.h"

#include <filesystem>
#include <functional>
#include <map>
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

struct MeasureProgress {
  int frames = 0;
  int expected_frames = 0;  ///< 0 when not known
  int feeds = 0;            ///< found so far
};
using ProgressCallback = std::function<void(const MeasureProgress&)>;

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
  /// The first frames with sightings, enough of them to tell a time scale.
  std::vector<TimedFrame> opening() const;
  /// More of them, for what changes on the way.
  const std::vector<TimedFrame>& seen() const { return seen_; }

 private:
  FeedEnds ends() const;
  Measurement fitted(const CameraSway& sway);
  void allow_for_clock(Feed& feed) const;

  const Bench& bench_;
  const Profile& profile_;
  MeasureOptions options_;
  TrackBuilder tracks_;
  FeedFinder finder_;
  std::vector<FoundFeed> found_;
  std::vector<TimedFrame> seen_;
  std::size_t seen_sightings_ = 0;
  HaltingBalls halting_;
  std::map<double, double> clock_;  // its error, from a time on
  Measurement result_;
};

/// The same one step earlier: what was seen in each frame, as it was seen, with
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

/// Throws InputError when the film cannot be read or is not the size of the
/// bench's picture.
Measurement measure_film(const std::filesystem::path& film,
                         const Bench& bench,
                         const Profile& profile,
                         const MeasureOptions& options,
                         const ProgressCallback& progress = {});

/// The same from sightings in any order; those whose times differ by less than
/// half the usual step are taken as one frame.
Measurement measure_sightings(std::vector<Sighting> sightings,
                              const Bench& bench,
                              const Profile& profile,
                              const MeasureOptions& options);

}  // namespace evenfeed
