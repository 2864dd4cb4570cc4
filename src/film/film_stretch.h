// SPDX-License-Identifier: MIT
// The frames of a part of a film, found by key frames: what lies before is not
// decoded as far as the film allows that. The same frames, with the same times,
// that VideoSource hands out.
#pragma once

#include "film/frame.h"
#include "film/video_source.h"

#include <filesystem>
#include <memory>
#include <optional>

namespace evenfeed {

class FilmStretch {
 public:
  /// Frames stamped from `from_s` to `until_s`, as taken. Throws InputError as
  /// VideoSource does.
  FilmStretch(const std::filesystem::path& film,
              double from_s,
              double until_s,
              const VideoOptions& options = {});
  ~FilmStretch();

  const VideoInfo& info() const;
  /// The next of them; nullopt at the end.
  std::optional<Frame> next();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
