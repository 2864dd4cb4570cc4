// SPDX-License-Identifier: MIT
// What was seen in each frame as a line of text, and back: with it a session
// that was cut off goes on where it was, every feed found as it was. How the
// camera was moved before is not in it; a watch that begins anew sees where it
// stands.
#pragma once

#include "pipeline/film_sightings.h"

#include <optional>
#include <string>
#include <string_view>

namespace evenfeed {

/// index, time, settled-until, the time's error, then eleven numbers a
/// sighting; every number as it is to the last bit.
[[nodiscard]] std::string frame_line(const FrameSightings& frame);
/// nullopt for a line that is none.
[[nodiscard]] std::optional<FrameSightings> read_frame_line(
    std::string_view line);

}  // namespace evenfeed
