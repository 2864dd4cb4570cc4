// SPDX-License-Identifier: MIT
#include "cli/live_resume.h"

#include "live/frame_log.h"

#include <algorithm>
#include <chrono>
#include <utility>

namespace evenfeed {

namespace fs = std::filesystem;

FrameGiver after_frame(FrameGiver give, int last) {
  return [give = std::move(give), last]() {
    std::optional<Frame> frame = give();
    while (frame && frame->index <= last) frame = give();
    return frame;
  };
}

int replay(const CutOff& cut_off, LiveEngine& engine) {
  int last = -1;
  for (const std::string& line : cut_off.frames) {
    std::optional<FrameSightings> frame = read_frame_line(line);
    if (!frame || frame->index <= last) continue;
    last = frame->index;
    engine.add(std::move(*frame));
  }
  return last;
}

double cut_off_for_s(const fs::path& folder) {
  std::error_code error;
  const auto then = fs::last_write_time(folder / kFrameLogFile, error);
  if (error) return 0;
  const auto since = fs::file_time_type::clock::now() - then;
  return std::max(0.0, std::chrono::duration<double>(since).count());
}

}  // namespace evenfeed
