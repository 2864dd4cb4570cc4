// SPDX-License-Identifier: MIT
// The bounces of a session, heard: which tick of the film's sound is which
// feed's bounce (hearing), and each flight moved by its own (heard_bounce).
//
// The offset between sound and picture is estimated from the very times that
// are then improved, so the mean of a session gains nothing: what its camera
// gets wrong in all feeds alike stays, and the noise of the offset comes on
// top, in all alike. What is gained is the scatter from feed to feed.
#pragma once

#include "flight/feed_finder.h"
#include "flight/joint_adjustment.h"
#include "geometry/tick.h"
#include "hearing/hearing.h"

#include <string>
#include <vector>

namespace evenfeed {

/// What is heard of a film, and from where.
struct Ear {
  std::vector<Tick> ticks;                                 ///< in order of time
  Eigen::Vector3d microphone_m = Eigen::Vector3d::Zero();  ///< table frame
  /// It is clipped to the sample, wherever that turns out to stand.
  bool at_sample = false;
  HearingOptions hearing;
};

/// Standard uncertainties of the heard bounces, medians.
struct BounceSigmas {
  double t_s = 0;
  double x_m = 0;
};

struct HeardSession {
  bool agrees = false;
  std::string why_not;  ///< in words
  SoundClock clock;
  int expected = 0;              ///< feeds whose bounce was seen
  int heard = 0;                 ///< of them, and used
  double wrong = 0;              ///< share of the heard expected to be wrong
  BounceSigmas seen, both;       ///< what hearing changed; 0 where none was
  std::vector<char> by_ear;      ///< per feed found: its bounce was heard
  std::vector<std::string> why;  ///< per feed found: why it was not, or empty
};

/// Moves the flights of `found` whose bounce was heard, and widens what `joint`
/// says all feeds have in common. Without agreement nothing is touched.
[[nodiscard]] HeardSession hear_session(const Ear& ear,
                                        const CameraModel& camera,
                                        const FlightOptions& options,
                                        std::vector<FoundFeed>& found,
                                        JointAdjustment& joint);

}  // namespace evenfeed
