// SPDX-License-Identifier: MIT
// The scene without what moves, in colour.
#pragma once

#include "film/frame.h"

#include <vector>

namespace evenfeed {

/// median_picture() of the frames' planes; without colour if one of them has
/// none. Throws std::logic_error when the list is empty or the sizes differ.
[[nodiscard]] Frame median_frame(const std::vector<Frame>& frames);

}  // namespace evenfeed
