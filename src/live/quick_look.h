// SPDX-License-Identifier: MIT
// Sees that a feed's arc has ended, without waiting for what a whole session
// waits for: the camera's place to be settled (a second), what may carry the
// track on (another). The track is taken as over when it is, when one frame
// came in which the ball was not seen though much of its second arc was, or two
// though some was: one alone may be a ball that was missed.
#pragma once

#include "flight/feed_finder.h"
#include "flight/glossy_table.h"
#include "flight/track_builder.h"

#include <optional>
#include <utility>
#include <vector>

namespace evenfeed {

struct QuickLookOptions {
  TrackOptions tracks;
  FinderOptions finder;
  double unseen_steps = 1.5;  ///< frames' time without it that end its arc
  int fewest_after = 4;  ///< sightings past the bounce, of a track still open
  double unseen_once = 0.9;  ///< the same, where more than that were seen:
  int enough_after = 8;
  int ball_from = 6;  ///< sightings that make a moving thing a ball

  void check() const;
};

class QuickLook {
 public:
  QuickLook(const CameraModel& camera,
            const Surface& surface,
            const FlightOptions& flight,
            const QuickLookOptions& options);

  /// The next frame's sightings; the feeds whose arc has ended with it, each
  /// once. A feed without a bounce that was seen waits for the session's way.
  [[nodiscard]] std::vector<FoundFeed> add_frame(
      double t_s, const std::vector<Sighting>& sightings);
  /// Since it was last asked: a ball began to be seen.
  [[nodiscard]] bool take_ball_seen() {
    return std::exchange(ball_seen_, false);
  }

 private:
  struct Looked {
    double start_s = 0;
    double end_s = 0;  ///< of the track when it was last looked at
    bool told = false;
  };
  Looked& looked_at(const Track& track);
  enum class Unseen { kClosed, kTwice, kOnce };
  std::optional<FoundFeed> look(const Track& track, Unseen how);

  QuickLookOptions options_;
  GlossyTable gloss_;
  TrackBuilder tracks_;
  FeedFinder finder_;
  std::vector<Looked> looked_;  // of the last seconds
  bool ball_seen_ = false;
};

}  // namespace evenfeed
