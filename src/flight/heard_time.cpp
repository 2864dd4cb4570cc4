// SPDX-License-Identifier: MIT
#include "flight/heard_time.h"

#include "base/check.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// What the sightings may cost beyond what was promised, squared sigmas: the
// model is not quite linear and its loss is robust.
constexpr double kMostBeyond = 6;
// Sight and sound that differ by more contradict each other.
constexpr double kMostSigmas = 4;

}  // namespace

HeardFlight with_heard_time(const FlightFit& fit,
                            const std::vector<Sighting>& sightings,
                            const CameraModel& camera,
                            const FlightOptions& options,
                            std::string_view what,
                            const SeenTime& seen,
                            double heard_s,
                            double sigma_s) {
  require_positive(sigma_s, "sigma_s");
  HeardFlight result;
  result.fit = fit;
  const double variance_s2 = seen.variance_s2 + sigma_s * sigma_s;
  const double off_s = heard_s - seen.t_s;
  if (off_s * off_s > kMostSigmas * kMostSigmas * variance_s2) {
    result.why_not = fmt::format(
        "sound and sight of {} differ by {:.1f} ms: seen, not heard",
        what,
        1e3 * std::abs(off_s));
    return result;
  }
  const FlightVector gain = seen.column / variance_s2;
  const FlightVector moved = fit.parameters + gain * off_s;
  // Sightings and priors hold the flight with the inverse of its covariance.
  const double promised =
      off_s * off_s * seen.variance_s2 / (variance_s2 * variance_s2);
  const double costs = flight_cost(sightings, camera, options, moved) -
                       flight_cost(sightings, camera, options, fit.parameters);
  if (!(costs < promised + kMostBeyond)) {
    result.why_not = fmt::format(
        "a flight with {} as it was heard does not explain what was seen",
        what);
    return result;
  }
  result.used = true;
  result.gain = gain;
  result.fit.parameters = moved;
  result.fit.covariance = fit.covariance - gain * seen.column.transpose();
  return result;
}

}  // namespace evenfeed
