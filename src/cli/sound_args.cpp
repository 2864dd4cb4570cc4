// SPDX-License-Identifier: MIT
#include "cli/sound_args.h"

#include "base/error.h"
#include "base/units.h"
#include "pipeline/measurement.h"

#include <array>
#include <charconv>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kFarthest_mm = 50000;

[[noreturn]] void refuse(const std::string& text) {
  throw UsageError(fmt::format(
      "--microphone {}: allowed are three numbers X,Y,Z, mm in the table's "
      "frame (each within {:.0f}), or the word sample",
      text,
      kFarthest_mm));
}

Eigen::Vector3d place_m(const std::string& text) {
  Eigen::Vector3d place_mm;
  const char* at = text.data();
  const char* const end = at + text.size();
  for (int k = 0; k < 3; ++k) {
    if (k > 0 && (at == end || *at++ != ',')) refuse(text);
    const auto [after, error] = std::from_chars(at, end, place_mm[k]);
    if (error != std::errc{} || !(std::abs(place_mm[k]) <= kFarthest_mm)) {
      refuse(text);
    }
    at = after;
  }
  if (at != end) refuse(text);
  return place_mm / 1000;
}

}  // namespace

void SoundArgs::setup(Arguments& args) {
  args.add_flag("--no-sound",
                no_sound_,
                "Do not listen for bounces and contacts in the film's sound");
  args.add_option("--microphone",
                  microphone_,
                  "Where the sound was taken: X,Y,Z, mm in the table's frame, "
                  "or sample (clipped to it); at the camera when not given");
}

void SoundArgs::apply(MeasureOptions& options) const {
  options.listen = !no_sound_;
  if (microphone_.empty()) return;
  if (no_sound_) {
    throw UsageError(
        "--microphone is for films that are listened to: leave out --no-sound "
        "or --microphone");
  }
  options.microphone_at_sample = microphone_ == "sample";
  if (!options.microphone_at_sample) {
    options.microphone_m = place_m(microphone_);
  }
}

}  // namespace evenfeed
