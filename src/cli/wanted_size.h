// SPDX-License-Identifier: MIT
// A picture's size as it is typed.
#pragma once

#include <string>

namespace evenfeed {

struct WantedSize {
  int width_px = 0;
  int height_px = 0;
};

/// Of "1280x720". Throws UsageError naming `option`.
[[nodiscard]] WantedSize wanted_size(const std::string& option,
                                     const std::string& text);

}  // namespace evenfeed
