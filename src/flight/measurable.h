// SPDX-License-Identifier: MIT
// What may be called measured. Four sightings of anything fit some flight; a
// number in a table looks the same whether a ball or noise made it. So a
// flight must leave residuals as small as a ball's and as the session's other
// feeds', rest on as many sightings, and be known well enough to be of use.
// What is not stays a row, with the reason.
#pragma once

#include "flight/feed.h"
#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// This project's choices, from films of balls (0.1 to 2 px rms) and from
/// noise (tests/unit/pipeline/noise_test), in a picture 1280 px long; they grow
/// with a larger one, in which everything is seen larger.
struct MeasurableLimits {
  int fewest_sightings = 6;         ///< on the flight
  double fewest_of_usual = 0.25;    ///< and of the session's median
  double most_residual_px = 2.5;    ///< rms; less for few sightings
  double most_of_usual = 8;         ///< times the session's median, if above
  double harmless_residual_px = 1;  ///< this
  double least_used_share = 0.6;    ///< of the sightings until the flight ended
  double least_of_all = 0.3;        ///< and of all its sightings
  double longest_time_s = 1. / 60;  ///< uncertainty of a bounce's time, or one
                                    ///< frame if that is longer
  void check() const;
};

/// Refuses flights (kPoorFit, with the reason in the message) whose residuals
/// or sightings are not those of a ball, by themselves or beside the session's.
void refuse_doubtful(std::vector<FoundFeed>& found,
                     const CameraModel& camera,
                     const MeasurableLimits& limits);

/// How much larger than in a picture 1280 px long things are seen; at least 1.
double picture_scale(const CameraModel& camera);

/// Why a derived feed is known too badly to be called measured: its landing
/// worse than half the landing half, the time of a bounce that was seen worse
/// than a frame. Empty when it is known well enough.
[[nodiscard]] std::string why_unknown(const Feed& feed,
                                      const TableTop& table,
                                      double frame_s,
                                      const MeasurableLimits& limits);

/// Why the bounce of a derived feed cannot be one, empty when it can: a surface
/// pushes a ball along itself no more than friction lets it, whatever the spin.
/// The picture of a ball in a glossy surface meets the ball at its bounce and
/// parts from it there, as smoothly as the ball goes on.
[[nodiscard]] std::string why_no_bounce(const Feed& feed, double friction);

/// The usual time between two sightings; 0 without any.
[[nodiscard]] double usual_frame_s(const std::vector<FoundFeed>& found);

}  // namespace evenfeed
