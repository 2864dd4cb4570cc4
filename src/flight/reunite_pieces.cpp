// SPDX-License-Identifier: MIT
#include "flight/reunite_pieces.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace evenfeed {
namespace {

// A feed takes no longer than this from the launcher to the bounce.
constexpr double kLongestApproach_s = 1.0;
// A track that breaks at the bounce goes on this soon.
constexpr double kLongestBreak_s = 0.1;

bool in_the_air(const FoundFeed& flight, double t_s) {
  return t_s > flight.fit.parameters[kTimeOfBounce] - kLongestApproach_s &&
         t_s < flight.fit.end_s + kLongestBreak_s;
}

// Two balls do not bounce at one place at one moment: such a piece is the
// flight's own ball seen twice, or its shadow. What is hardly known of a piece
// may be as far off as it says, but two balls are further apart than this. When
// and where it would land go together, so its place is asked when the flight
// bounces. What is seen more often than the flight is not its copy: then the
// flight may be the wrong one (of a track that broke, the end is taken for a
// ball from elsewhere, and the feed would be lost with both).
bool bounces_with(const FoundFeed& flight,
                  const FoundFeed& piece,
                  const FlightOptions& options) {
  constexpr double kMoment_s = 0.03, kMostMoment_s = 0.2;
  constexpr double kPlace_m = 0.1, kMostPlace_m = 0.4;
  constexpr double kSigmas = 3;
  if (!piece.fit.ok()) return false;
  const auto known_to = [&](int k) {
    return kSigmas * std::sqrt(piece.fit.covariance(k, k));
  };
  const FlightVector& p = flight.fit.parameters;
  const double t_s = p[kTimeOfBounce];
  const double late_s = piece.fit.parameters[kTimeOfBounce] - t_s;
  const Eigen::Vector3d off_m =
      flight_state(piece.fit.parameters, options, t_s).x_m -
      flight_state(p, options, t_s).x_m;
  const double place_m = std::hypot(known_to(kBounceX), known_to(kBounceY));
  return std::abs(late_s) <
             std::clamp(known_to(kTimeOfBounce), kMoment_s, kMostMoment_s) &&
         off_m.norm() < std::clamp(place_m, kPlace_m, kMostPlace_m);
}

// True when most of the piece lies on the flight, which then has it.
bool take_in(FoundFeed& flight,
             FoundFeed& piece,
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
  both.take_returned_of(flight);
  both.take_returned_of(piece);
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
    bool same_ball = false;
    for (FoundFeed& flight : flights) {
      if (!in_the_air(flight, piece.sightings.front().t_s)) continue;
      beside = true;
      taken = take_in(flight, piece, camera, options);
      same_ball = same_ball || (bounces_with(flight, piece, options) &&
                                piece.fit.inliers() <= flight.fit.inliers());
      if (taken) break;
    }
    if (taken) continue;
    if (same_ball ||
        (beside && piece.fit.status == FitStatus::kTooFewSightings)) {
      ++strays;
      continue;
    }
    found.push_back(std::move(piece));
  }
  std::move(flights.begin(), flights.end(), std::back_inserter(found));
  return strays;
}

}  // namespace evenfeed
