// SPDX-License-Identifier: MIT
// The matched feeds of two samples and what came back, in one drawing.
#pragma once

#include "report/pair_input.h"
#include "report/take_away.h"

#include <optional>

namespace evenfeed {

/// From the side, to scale. Nothing when no flight of one of the two is known.
[[nodiscard]] std::optional<Drawing> pair_flights_drawing(
    const PairInput& input, const PairBalance& two);

}  // namespace evenfeed
