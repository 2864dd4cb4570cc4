// SPDX-License-Identifier: MIT
// A film's sound, taken in beside its pictures.
#pragma once

#include "flight/heard_session.h"
#include "geometry/camera_model.h"
#include "sound/film_ticks.h"

#include <filesystem>
#include <future>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct MeasureOptions;
struct Profile;

/// What is heard of a film, from where, and how fast sound is in that room.
[[nodiscard]] Ear ear_of(std::vector<Tick> ticks,
                         const CameraModel& camera,
                         const Profile& profile,
                         const MeasureOptions& options);

class Listener {
 public:
  /// Begins to listen, if that is wanted. `slow`: VideoInfo::slow.
  Listener(const std::filesystem::path& film,
           const MeasureOptions& options,
           double slow);

  /// Waits for the end of the sound. Call once; nullopt when there is nothing
  /// to hear, or nobody listened.
  std::optional<std::vector<Tick>> ticks();
  /// Why there was nothing to hear, in words; empty when nobody listened.
  const std::string& why_silent() const { return why_silent_; }

 private:
  std::future<FilmTicks> heard_;
  std::string why_silent_;
};

}  // namespace evenfeed
