// SPDX-License-Identifier: MIT
// The temperature of the room, as a session tells it. It stands among the
// launcher's settings, but is none: sessions of other temperatures are
// compared, with what it moves allowed for.
#pragma once

#include <string_view>

namespace evenfeed {

inline constexpr std::string_view kTemperatureSetting = "temperature_C";

}  // namespace evenfeed
