// SPDX-License-Identifier: MIT
// Films that play at another speed than they were taken at, as sightings.
#pragma once

#include "pipeline/measure.h"
#include "unit/flight/flight_bench.h"

#include <functional>
#include <random>
#include <string>
#include <vector>

namespace evenfeed {

/// Feeds 1.5 s apart, measured; `played_s` tells when a moment is shown.
inline Measurement measured_as_played(
    int feeds, const std::function<double(double)>& played_s) {
  Bench bench;
  bench.camera = camera_at(30);
  bench.camera.readout_s = 0;
  bench.camera.exposure_s = 0;
  std::vector<Sighting> sightings;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random =
        derived_engine(1, "slow film", static_cast<std::uint64_t>(i));
    std::normal_distribution<double> normal(0, 1);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] = 1.0 + 1.5 * i;
    p[kBounceX] += 0.03 * normal(random);
    p[kVelocityIn] += 0.03 * normal(random);
    for (const Sighting& one : sightings_of(p, bench.camera, 60, 0.2, random)) {
      sightings.push_back(one);
      sightings.back().t_s = played_s(one.t_s);
    }
  }
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  return measure_sightings(std::move(sightings), bench, profile, {});
}

}  // namespace evenfeed
