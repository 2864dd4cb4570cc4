// SPDX-License-Identifier: MIT
// Where the sample stands, from where feeds and returns meet. Nobody has to
// say it: two flights that were measured apart come nearest to each other at
// the contact, and a session has many of them on one plane.
//
// The centres of balls that touch a plane leaning back by l from the vertical
// lie on x = x_0 - r / cos l + (z - z_0) tan l. A sheet is clamped at any
// angle: the contacts of a session differ by centimetres in height, and a lean
// of 20 degrees that is taken for none puts each off by a third of that. The
// line is the one that tells x best from the heights as they are measured:
// their errors turn it a little from the sheet's own lean, which nothing here
// needs.
#pragma once

#include "flight/derive_feed.h"
#include "flight/return_fit.h"

#include <vector>

namespace evenfeed {

/// The sample's plane as returns showed it; NaN when none was measured.
struct SampleSeen {
  double x_m = std::numeric_limits<double>::quiet_NaN();  ///< at height z_m
  double z_m = 0;  ///< the contacts' own: there the lean does not move it
  double sd_m = std::numeric_limits<double>::quiet_NaN();
  double lean_rad = 0;  ///< of the line
  double lean_sd_rad = 0;
  int returns = 0;

  bool known() const { return returns > 0; }
  double foot_m() const;  ///< x at z = 0
  double foot_sd_m() const;
};

/// The line through the contacts of the returns that were measured, `returns`
/// in the order of `found`, robustly; a lean whose sd is 0 is told. The
/// uncertainties are from their scatter, that of the place at least 1 mm (the
/// ball is pressed flat), and 10 mm a return when there are fewer than three.
[[nodiscard]] SampleSeen sample_from_returns(
    const std::vector<FoundFeed>& found,
    const std::vector<ReturnFit>& returns,
    const FlightOptions& options,
    const Prior& lean_rad);

/// The ends with what was seen of the sample: taken over where nothing was
/// told, weighed with what was told as a prior (sample_sd_m above 0), left
/// alone where it was told as the truth.
[[nodiscard]] FeedEnds with_sample_seen(FeedEnds ends, const SampleSeen& seen);

/// True when the returns meet the feeds elsewhere than where the sample was
/// told to stand: by more than three standard uncertainties and 5 mm.
[[nodiscard]] bool sample_is_elsewhere(const FeedEnds& told,
                                       const SampleSeen& seen);

}  // namespace evenfeed
