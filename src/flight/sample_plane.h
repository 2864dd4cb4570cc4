// SPDX-License-Identifier: MIT
// Where the sample stands, from where feeds and returns meet. Nobody has to
// say it: two flights that were measured apart come nearest to each other at
// the contact, and a session has many of them on one plane.
//
// A centre at (x, z) that touches a plane leaning back by l from the vertical
// says that the plane passes through x - z tan l + r / cos l at z = 0. The
// contacts of a session are near each other, so a lean believed wrongly moves
// the plane's foot and hardly the contacts.
#pragma once

#include "flight/derive_feed.h"
#include "flight/return_fit.h"

#include <vector>

namespace evenfeed {

/// The sample's plane as returns showed it; NaN when none was measured.
struct SampleSeen {
  double x_m = std::numeric_limits<double>::quiet_NaN();  ///< at z = 0
  double sd_m = std::numeric_limits<double>::quiet_NaN();
  int returns = 0;

  bool known() const { return returns > 0; }
};

/// Median over the returns that were measured, `returns` in the order of
/// `found`; its uncertainty from their scatter, at least 1 mm (the ball is
/// pressed flat), and 10 mm when there are fewer than three.
[[nodiscard]] SampleSeen sample_from_returns(
    const std::vector<FoundFeed>& found,
    const std::vector<ReturnFit>& returns,
    const FlightOptions& options,
    double lean_rad);

/// The ends with what was seen of the sample: taken over where nothing was
/// told, weighed with what was told as a belief (sample_sd_m above 0), left
/// alone where it was told as the truth.
[[nodiscard]] FeedEnds with_sample_seen(FeedEnds ends, const SampleSeen& seen);

/// True when the returns meet the feeds elsewhere than where the sample was
/// told to stand: by more than three standard uncertainties and 5 mm.
[[nodiscard]] bool sample_is_elsewhere(const FeedEnds& told,
                                       const SampleSeen& seen);

}  // namespace evenfeed
