// SPDX-License-Identifier: MIT
// The game that is meant when none is named.
#pragma once

namespace evenfeed {

inline constexpr const char* kUsualProfile = "table-tennis";

}  // namespace evenfeed
