// SPDX-License-Identifier: MIT
// What 'doctor' saw, and what follows from it: each thing in words, with what
// to do about it.
#pragma once

#include "cli/doctor_speed.h"
#include "cli/wanted_size.h"
#include "film/capture_device.h"
#include "film/ffmpeg_abilities.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct Examination {
  WantedSize size;     ///< wanted
  double rate_hz = 0;  ///< wanted
  std::filesystem::path cameras_in;
  std::vector<CaptureDevice> cameras;
  std::string ffmpeg;
  std::vector<FfmpegAbility> abilities;
  std::filesystem::path folder;             ///< that films would go into
  std::optional<std::uint64_t> free_bytes;  ///< there
  std::optional<SpeedTrial> speed;
  std::string no_speed;  ///< why it was not tried
};

enum class Health {
  kGood,
  kLimited,  ///< goes, but not in every way
  kInTheWay
};

/// "good", "limited", "in the way".
[[nodiscard]] std::string health_word(Health health);

struct Finding {
  std::string area;  ///< "cameras", "FFmpeg", "disk", "speed"
  Health health = Health::kGood;
  std::string words;
  std::string mend;  ///< what to do; empty: nothing
};

/// In the order of the areas.
[[nodiscard]] std::vector<Finding> findings_of(const Examination& seen);

/// Nothing stands in the way of a session as it was wanted.
[[nodiscard]] bool may_begin(const std::vector<Finding>& findings);

/// Minutes of film at this many bits a pixel, less what a session keeps free.
[[nodiscard]] double minutes_of_film(const Examination& seen,
                                     double bits_per_pixel);

/// What streams take, by experience of cameras: H.264, and MJPEG.
inline constexpr double kCodedBits = 0.15;
inline constexpr double kMjpegBits = 1.5;

[[nodiscard]] std::string examination_words(const Examination& seen);

}  // namespace evenfeed
