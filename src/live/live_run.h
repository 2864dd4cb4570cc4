// SPDX-License-Identifier: MIT
// Pictures to the engine: the detector, the watch over the camera and their
// threads, as for a film, but the frames may come from anything, at the pace it
// has, and end when somebody says so.
#pragma once

#include "live/engine.h"

#include <atomic>
#include <functional>
#include <string>
#include <vector>

namespace evenfeed {

/// Where frames come from.
struct LiveFrames {
  VideoInfo info;
  std::vector<Frame> opening;  ///< stills to learn the background from
  FrameGiver next;             ///< nullopt at the end
  /// Standard error of the last frame's time; none: frames' times are theirs.
  std::function<double()> clock_error_s = {};
  /// The time of the picture that the camera takes now; none: nobody waits.
  std::function<double()> newest_s = {};
};

/// A film's frames at the film's own speed, as a camera would have them, until
/// `stop`. The first one sets the clock.
[[nodiscard]] LiveFrames at_own_speed(LiveFrames film,
                                      const std::atomic<bool>& stop);
/// As fast as they are taken, until `stop`.
[[nodiscard]] FrameGiver until_stopped(FrameGiver give,
                                       const std::atomic<bool>& stop);

class LiveRun {
 public:
  /// Is shown what was seen in each frame before the engine is.
  using Witness = std::function<void(const FrameSightings&)>;

  LiveRun(const Bench& bench,
          const Profile& profile,
          EngineOptions options,
          LiveEngine::Listener listener,
          Witness witness = {});

  /// Takes everything that comes and measures it with everything known. Once.
  Measurement run(LiveFrames frames);

  LiveEngine& engine() { return engine_; }

 private:
  Bench bench_;
  Profile profile_;
  MeasureOptions options_;
  LiveEngine engine_;
  Witness witness_;
};

}  // namespace evenfeed
