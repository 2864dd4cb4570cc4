// SPDX-License-Identifier: MIT
// What was decided about a session, as a store keeps it.
#pragma once

#include "flight/feed.h"
#include "quality/qualification.h"
#include "session/session_record.h"

#include <string>
#include <vector>

namespace evenfeed {

/// Each feed with its tag.
[[nodiscard]] std::vector<TaggedFeed> tagged_feeds(
    const std::vector<Feed>& feeds, const Qualification& result);

/// summary.json without its charts, which the feeds give again.
[[nodiscard]] std::string summary_for_store(const Qualification& result);

}  // namespace evenfeed
