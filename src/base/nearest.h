// SPDX-License-Identifier: MIT
// What somebody may have meant who wrote a word that is not known.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// How many letters must be put in, left out, replaced or swapped with their
/// neighbour to make one word of the other, no letter touched twice (optimal
/// string alignment).
[[nodiscard]] int edit_distance(std::string_view a, std::string_view b);

/// The known word that is nearest to `word`: at most a third of its letters
/// differ (2 at least), or it is the only one that begins with `word` or ends
/// with it; empty when none is that near. Of equals the first.
[[nodiscard]] std::string nearest_word(std::string_view word,
                                       const std::vector<std::string>& known);

/// ". Did you mean 'X'?", or nothing.
[[nodiscard]] std::string did_you_mean(std::string_view word,
                                       const std::vector<std::string>& known);

}  // namespace evenfeed
