// SPDX-License-Identifier: MIT
// All ticks of a film's sound track.
#pragma once

#include "geometry/tick.h"
#include "sound/tick_finder.h"

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

struct FilmTicks {
  std::vector<Tick> ticks;  ///< in order of time
  double from_s = 0;        ///< what was heard, after the first picture
  double until_s = 0;
  /// Why there are none, in words: no sound, no decoder, silence. Empty when
  /// there are.
  std::string why_none;
};

/// Reads the sound through once, without the pictures.
[[nodiscard]] FilmTicks ticks_of_film(const std::filesystem::path& film,
                                      const TickOptions& options = {});

}  // namespace evenfeed
