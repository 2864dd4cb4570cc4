// SPDX-License-Identifier: MIT
// What FFmpeg's status codes say, in words. Internal to film.
#pragma once

#include <string>
#include <string_view>

namespace evenfeed {

[[nodiscard]] std::string ffmpeg_reason(int code);

/// Throws InputError for a negative code: `what` of writing the file failed.
void require_written(int code, const std::string& file, std::string_view what);

}  // namespace evenfeed
