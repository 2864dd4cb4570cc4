// SPDX-License-Identifier: MIT
// Taking up a live session that was cut off.
#pragma once

#include "live/live_desk.h"
#include "live/live_run.h"

#include <filesystem>

namespace evenfeed {

/// Frames up to this one were seen before; they are passed by.
[[nodiscard]] FrameGiver after_frame(FrameGiver give, int last);
/// Everything seen before it was cut off, as if it came now. The last frame.
int replay(const CutOff& cut_off, LiveEngine& engine);
/// Since the last picture that it holds was seen.
[[nodiscard]] double cut_off_for_s(const std::filesystem::path& folder);

}  // namespace evenfeed
