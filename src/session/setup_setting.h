// SPDX-License-Identifier: MIT
// The name of the launcher's set-up, as a session tells it. It stands among the
// launcher's settings, but is none: sessions of other set-ups are compared,
// with how set-ups scatter allowed for.
#pragma once

#include <string_view>

namespace evenfeed {

inline constexpr std::string_view kSetupSetting = "set-up";

}  // namespace evenfeed
