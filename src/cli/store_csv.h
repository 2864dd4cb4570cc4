// SPDX-License-Identifier: MIT
// Sessions of a store, a row each.
#pragma once

#include "cli/store_words.h"

#include <string>
#include <vector>

namespace evenfeed {

/// A row per session: what was filmed, what was decided, and mean and sd of
/// every value over the feeds that were kept. Empty: not known, or fewer than
/// two feeds.
std::string sessions_csv(const std::vector<SessionRecord>& sessions);

}  // namespace evenfeed
