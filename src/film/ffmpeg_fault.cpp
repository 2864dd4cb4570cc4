// SPDX-License-Identifier: MIT
#include "film/ffmpeg_fault.h"

#include "base/error.h"

#include <array>

extern "C" {
#include <libavutil/error.h>
}

#include <fmt/format.h>

namespace evenfeed {

std::string ffmpeg_reason(int code) {
  std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
  av_strerror(code, text.data(), text.size());
  return text.data();
}

void require_written(int code, const std::string& file, std::string_view what) {
  if (code >= 0) return;
  throw InputError(file,
                   fmt::format("{} failed ({})", what, ffmpeg_reason(code)),
                   "Check that the folder is writable and the disk is not "
                   "full");
}

}  // namespace evenfeed
