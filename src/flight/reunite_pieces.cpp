// SPDX-License-Identifier: MIT
#include "flight/reunite_pieces.h"

#include <algorithm>
#include <iterator>

namespace evenfeed {
namespace {

// A feed takes no longer than this from the launcher to the bounce.
constexpr double kLongestApproach_s = 1.0;

bool in_the_air(const FoundFeed& flight, double t_s) {
  return t_s > flight.fit.parameters[kTimeOfBounce] - kLongestApproach_s &&
         t_s < flight.fit.end_s;
}

// True when most of the piece lies on the flight, which then has it.
bool take_in(FoundFeed& flight,
             const FoundFeed& piece,
             const CameraModel& camera,
             const FlightOptions& options) {
  FoundFeed both;
  both.sightings = merged_in_time(flight.sightings, piece.sightings);
  both.fit =
      refine_flight(both.sightings, camera, options, flight.fit.parameters);
  const int more = static_cast<int>(piece.sightings.size() + 1) / 2;
  if (!both.whole() || both.fit.inliers() < flight.fit.inliers() + more) {
    return false;
  }
  flight = std::move(both);
  return true;
}

}  // namespace

int reunite_pieces(std::vector<FoundFeed>& found,
                   const CameraModel& camera,
                   const FlightOptions& options) {
  int strays = 0;
  std::vector<FoundFeed> flights, pieces;
  for (FoundFeed& feed : found) {
    (feed.whole() ? flights : pieces).push_back(std::move(feed));
  }
  found.clear();
  for (FoundFeed& piece : pieces) {
    bool taken = false;
    bool beside = false;
    for (FoundFeed& flight : flights) {
      if (!in_the_air(flight, piece.sightings.front().t_s)) continue;
      beside = true;
      taken = take_in(flight, piece, camera, options);
      if (taken) break;
    }
    if (taken) continue;
    if (beside && piece.fit.status == FitStatus::kTooFewSightings) {
      ++strays;
      continue;
    }
    found.push_back(std::move(piece));
  }
  std::move(flights.begin(), flights.end(), std::back_inserter(found));
  return strays;
}

}  // namespace evenfeed
