// SPDX-License-Identifier: MIT
// Feeds that left no row. A film may be too coarse for one of its balls, or a
// person stand before it: too little is seen to call it a launch, and every
// feed after it gets a number too low. A launcher that throws by the clock
// tells: a gap of twice its interval holds one more.
#pragma once

#include "flight/feed.h"

#include <string>
#include <vector>

namespace evenfeed {

struct FeedGap {
  int after = 0;  ///< number of the row before it
  double from_s = 0, until_s = 0;
  int missing = 0;  ///< one or two: longer ones are pauses
};

/// None of a launcher that does not throw by the clock, or of fewer than six
/// rows. Rows in order of time; one whose time is not known ends a gap.
[[nodiscard]] std::vector<FeedGap> find_feed_gaps(
    const std::vector<Feed>& feeds);

/// A sentence with what follows of it; empty of none.
[[nodiscard]] std::string feed_gap_words(const std::vector<FeedGap>& gaps);

}  // namespace evenfeed
