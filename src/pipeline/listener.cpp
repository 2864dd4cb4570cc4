// SPDX-License-Identifier: MIT
#include "pipeline/listener.h"

#include "pipeline/measurement.h"
#include "pipeline/profile.h"

namespace evenfeed {

Ear ear_of(std::vector<Tick> ticks,
           const CameraModel& camera,
           const Profile& profile,
           const MeasureOptions& options) {
  Ear ear;
  ear.ticks = std::move(ticks);
  ear.microphone_m = options.microphone_m.value_or(camera.eye_in_table_m());
  ear.at_sample = options.microphone_at_sample;
  ear.hearing.speed_of_sound_mps =
      speed_of_sound_mps(profile.flight.temperature_C);
  return ear;
}

Listener::Listener(const std::filesystem::path& film,
                   const MeasureOptions& options,
                   double slow) {
  if (!options.listen) return;
  if (slow != 1) {
    why_silent_ = "slow motion has no sound of its own speed";
    return;
  }
  heard_ =
      std::async(std::launch::async, [film] { return ticks_of_film(film); });
}

std::optional<std::vector<Tick>> Listener::ticks() {
  if (!heard_.valid()) return std::nullopt;
  FilmTicks heard = heard_.get();
  why_silent_ = std::move(heard.why_none);
  if (!why_silent_.empty()) return std::nullopt;
  return std::move(heard.ticks);
}

}  // namespace evenfeed
