// SPDX-License-Identifier: MIT
// The trial log in a session's tables: columns sample, ball and excluded, notes
// beside what was measured, and feeds that do not count taken out by hand.
#pragma once

#include "live/trial_log.h"
#include "quality/qualification.h"

#include <string>
#include <vector>

namespace evenfeed {

/// feeds.csv with what was said of each feed, in the order of the rows; as it
/// is when nothing was said of any.
[[nodiscard]] std::string with_log(const std::string& feeds_csv,
                                   const std::vector<FeedLog>& log);

/// Discards those that were said not to count, each with its reason.
void exclude_logged(const std::vector<FeedLog>& log, Qualification& result);

}  // namespace evenfeed
