// SPDX-License-Identifier: MIT
// One feed as a row, and one more feed of a session that is still going on: it
// is measured alone, with what the feeds before it told of what they share.
#pragma once

#include "flight/derive_feed.h"
#include "flight/feed_finder.h"
#include "flight/measurable.h"

namespace evenfeed {

struct SessionFit;

/// The characteristics of a fitted feed; of one that cannot be called measured
/// the row that says why. `frame_s`: from frame to frame.
[[nodiscard]] Feed derived_or_refused(const FoundFeed& found,
                                      const FlightOptions& options,
                                      const FeedEnds& ends,
                                      double frame_s,
                                      const MeasurableLimits& limits);

/// What a session's feeds have told so far, for the next one.
struct ToldSoFar {
  CameraModel camera;     ///< adjusted, with the exposure and readout found
  FlightOptions options;  ///< with the means of what the feeds share
  double sigma_scale = 1;
  FeedEnds ends;
};
[[nodiscard]] ToldSoFar told_so_far(const SessionFit& fit);

/// Refits one feed that was found with `seen_by` (whose shutter its times are
/// for) and derives its row; number is left at 0. Sightings near the bounce are
/// trusted like others, for one feed does not tell how much less they are
/// worth: the session's fit, later, does.
[[nodiscard]] Feed measure_alone(FoundFeed found,
                                 const CameraModel& seen_by,
                                 const ToldSoFar& so_far,
                                 const MeasurableLimits& limits);

}  // namespace evenfeed
