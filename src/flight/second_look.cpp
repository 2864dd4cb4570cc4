// SPDX-License-Identifier: MIT
#include "flight/second_look.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace evenfeed {
namespace {

constexpr int kFirst = kBounceX;  // x, y, v_in, v_out
constexpr int kCount = kLiftIn - kFirst;
constexpr std::size_t kFewestFeeds = 5;

// Middle and spread of the session's flights.
struct Middle {
  FlightVector flight = FlightVector::Zero();
  FlightVector spread = FlightVector::Ones();
  double to_bounce_s = 0;  // from the first sighting

  // Squared distance in spreads, each parameter capped: far is far.
  double distance2(const FlightVector& p) const {
    constexpr double kCap = 16;
    double sum = 0;
    for (int k = kFirst; k < kFirst + kCount; ++k) {
      const double z = (p[k] - flight[k]) / spread[k];
      sum += std::min(kCap, z * z);
    }
    return sum;
  }
};

Middle middle_of(const std::vector<const FoundFeed*>& feeds) {
  Middle middle;
  std::vector<double> values;
  const auto collect = [&](const auto& value_of) {
    values.clear();
    for (const FoundFeed* feed : feeds) values.push_back(value_of(*feed));
  };
  for (int k = 0; k < kFlightParameters; ++k) {
    collect([&](const FoundFeed& f) { return f.fit.parameters[k]; });
    middle.flight[k] = median(values);
    // A launcher is never steadier than 5 mm or 0.05 m/s.
    const double floor = k < kVelocityIn ? 0.005 : 0.05;
    middle.spread[k] = std::max(floor, median_absolute_deviation(values));
  }
  collect([](const FoundFeed& f) {
    return f.fit.parameters[kTimeOfBounce] - f.sightings.front().t_s;
  });
  middle.to_bounce_s = median(values);
  return middle;
}

void try_other_flights(FoundFeed& feed,
                       const Middle& middle,
                       const CameraModel& camera,
                       const FlightOptions& options) {
  std::vector<FlightVector> starts{middle.flight};
  starts.front()[kTimeOfBounce] =
      feed.sightings.front().t_s + middle.to_bounce_s;
  for (const FlightStart& start :
       scan_for_bounce(feed.sightings, camera, options)) {
    starts.push_back(start.parameters);
  }
  const auto cost = [&](const FlightVector& p) {
    return flight_cost(feed.sightings, camera, options, p) +
           middle.distance2(p);
  };
  double best = feed.fit.ok() ? cost(feed.fit.parameters) : 1e300;
  for (const FlightVector& start : starts) {
    FlightFit fit = refine_flight(feed.sightings, camera, options, start);
    if (!fit.ok()) continue;
    const double here = cost(fit.parameters);
    if (here >= best) continue;
    best = here;
    feed.fit = std::move(fit);
  }
}

}  // namespace

void look_again(std::vector<FoundFeed>& found,
                const CameraModel& camera,
                const FlightOptions& options) {
  std::vector<const FoundFeed*> seen;
  for (const FoundFeed& feed : found) {
    if (feed.fit.ok() && feed.fit.bounce_seen()) seen.push_back(&feed);
  }
  if (seen.size() < kFewestFeeds) return;
  const Middle middle = middle_of(seen);
  constexpr double kFar2 = 16;  // four spreads in all
  for (FoundFeed& feed : found) {
    if (!feed.fit.ok() || !feed.fit.bounce_seen() ||
        middle.distance2(feed.fit.parameters) > kFar2) {
      try_other_flights(feed, middle, camera, options);
    }
  }
}

}  // namespace evenfeed
