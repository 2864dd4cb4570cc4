// SPDX-License-Identifier: MIT
// The bench while it runs: frames' sightings in, events out. It knows no film,
// no network and no page.
//
// Every frame goes two ways. The session's own (FrameMeasurer, the one that
// measures films) waits until the camera's place and the track's end are
// settled, and at the end gives what 'session' would have. Beside it a
// QuickLook tells a feed as soon as its arc has ended: found by the same
// finder, refitted with what the feeds before it told, judged by the same
// Qualifier. What was told so is replaced whenever all feeds are measured
// together again (Renewal), and withdrawn if the session's way finds no feed
// there.
#pragma once

#include "live/judge.h"
#include "live/live_event.h"
#include "live/quick_look.h"
#include "live/renewal.h"
#include "pipeline/frame_measurer.h"

#include <atomic>
#include <functional>
#include <memory>
#include <mutex>

namespace evenfeed {

struct EngineOptions {
  MeasureOptions measure;
  JudgeOptions judging;
  /// Renewals in a thread of their own. Without: at once, and the same frames
  /// give the same events in every run.
  bool renew_apart = true;
  void check() const;
};

class LiveEngine {
 public:
  /// Called in the thread that adds frames or tells of the camera, one at a
  /// time, before that goes on.
  using Listener = std::function<void(const LiveEvent&)>;

  LiveEngine(const Bench& bench,
             const Profile& profile,
             EngineOptions options,
             Listener listener);
  ~LiveEngine();
  LiveEngine(const LiveEngine&) = delete;
  LiveEngine& operator=(const LiveEngine&) = delete;

  /// Frames in order, from one thread. `behind_s`: so long ago the camera sent
  /// it.
  void add(FrameSightings frame, double behind_s = 0);
  /// The camera is gone, or there again. From any thread, as the next one.
  void tell_camera(bool there, double t_s, const std::string& words);
  /// The disk, the stream's clock: what a person should know at once.
  void tell_trouble(LiveEventKind kind, double t_s, const std::string& words);
  /// No more frames: everything with everything known, as of a film.
  Measurement finish(WatchNews last, const CameraWatch& watch, double slow);

  /// The state as it was last told; from any thread.
  [[nodiscard]] std::shared_ptr<const BenchState> state() const;

 private:
  void tell(const FoundFeed& found, bool settled);
  void settle_found();
  void withdraw(double settled_s);
  void take_over(Renewed renewed);
  void renew_if_due();
  void tell_moves();
  void judge_all();
  void keep_state();
  void publish();
  [[nodiscard]] BenchWord word_now() const;
  void look_at_age(double behind_s);
  void say(LiveEventKind kind, std::string words, LiveFeed feed = {});
  LiveFeed* told_at(double first_s, double last_s);

  Bench bench_;
  Profile profile_;
  EngineOptions options_;
  Listener listener_;
  FrameMeasurer frames_;
  QuickLook quick_;
  Renewal renewal_;
  Judge judge_;
  ToldSoFar told_;
  Widening widening_ = no_widening();
  std::vector<LiveFeed> feeds_;
  std::vector<std::string> warnings_;
  std::size_t found_ = 0;    // of the session's way, taken so far
  int begun_again_ = 0;      // as the measurer counts it
  std::size_t stances_ = 0;  // told so far
  bool dirty_ = false;       // something that a renewal would change
  bool camera_there_ = true;
  bool behind_ = false;
  bool writing_ = false;
  double behind_s_ = 0;
  int frame_count_ = 0;
  int renewals_ = 0;
  double t_s_ = 0;
  BenchWord word_ = BenchWord::kWaiting;
  std::mutex turn_;  // of whoever adds or tells
  mutable std::mutex mutex_;
  std::shared_ptr<const BenchState> state_;
};

}  // namespace evenfeed
