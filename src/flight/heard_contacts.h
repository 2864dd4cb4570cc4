// SPDX-License-Identifier: MIT
// The contacts of a session with its sample, heard: one more moment of each
// flight (heard_time.h), by the clock that its bounces gave.
//
// Where the sample stands is known to millimetres at best, and all contacts are
// early or late by what it is off. So the contacts' own ticks tell a shift d
// common to all (hearing), within what the plane and the clock leave open; a
// feed is moved by what its tick differs from that. Unless it was told as the
// truth, the plane moves by d times the speed at which it is met, and then is
// as uncertain as d and the clock.
#pragma once

#include "flight/derive_feed.h"
#include "flight/feed_finder.h"
#include "geometry/camera_model.h"
#include "geometry/tick.h"
#include "hearing/hearing.h"

#include <string>
#include <vector>

namespace evenfeed {

struct HeardContacts {
  bool agrees = false;
  std::string why_not;           ///< in words
  int expected = 0;              ///< feeds that met the sample's plane
  int heard = 0;                 ///< of them, and used
  double late_s = 0;             ///< d
  FeedEnds ends;                 ///< with the plane where it was heard to be
  std::vector<char> by_ear;      ///< per feed found
  std::vector<std::string> why;  ///< per feed found: why it was not, or empty
};

/// Moves the flights of `found` whose contact was heard. `ticks` in order of
/// time, by the sound's clock. Without agreement nothing is touched.
[[nodiscard]] HeardContacts hear_contacts(const std::vector<Tick>& ticks,
                                          const Eigen::Vector3d& microphone_m,
                                          const HearingOptions& hearing,
                                          const SoundClock& clock,
                                          const CameraModel& camera,
                                          const FlightOptions& options,
                                          const FeedEnds& ends,
                                          std::vector<FoundFeed>& found);

}  // namespace evenfeed
