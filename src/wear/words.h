// SPDX-License-Identifier: MIT
// The trends in plain words, and what they may come from.
#pragma once

#include "wear/wear.h"

#include <string>
#include <vector>

namespace evenfeed {

/// "falls by 1.2 % per 1000 feeds (0.9 to 1.5); ..."
std::string measure_sentence(const MeasureWear& measure,
                             const WearHistory& history);

/// From what moved together to what to look at, most likely first. Suggestions
/// only: the maker's manual knows better.
std::vector<Suggestion> suggestions_for(const WearResult& result);

/// "1200", "1.2 million", "3 400": a number of feeds, for people.
std::string feeds_words(double feeds);

}  // namespace evenfeed
