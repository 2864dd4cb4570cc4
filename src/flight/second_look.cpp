// SPDX-License-Identifier: MIT
#include "flight/second_look.h"

#include "base/parallel.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace evenfeed {
namespace {

constexpr int kFirst = kBounceX;  // x, y, v_in, v_out
constexpr int kCount = kLiftIn - kFirst;
constexpr std::size_t kFewestToLook = 5;

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

// The session's usual flight, bounced at every moment it might be: where the
// ball was seen then, it is taken to lie on the table.
std::vector<FlightVector> usual_starts(const FoundFeed& feed,
                                       const Middle& middle,
                                       const CameraModel& camera,
                                       const FlightOptions& options) {
  std::vector<FlightVector> starts;
  for (std::size_t i = 1; i < feed.sightings.size(); ++i) {
    const Sighting& a = feed.sightings[i - 1];
    const Sighting& b = feed.sightings[i];
    const double gap_s = b.t_s - a.t_s;
    constexpr double kLongestGap_s = 0.1;
    constexpr double kStep_s = 0.008;
    if (gap_s > kLongestGap_s) continue;
    const int pieces = std::max(1, static_cast<int>(gap_s / kStep_s));
    for (int k = 0; k < pieces; ++k) {
      const double part = (k + 0.5) / pieces;
      const auto place =
          camera.meet_plane(a.centre_px + part * (b.centre_px - a.centre_px),
                            options.ball.radius_m);
      if (!place) continue;
      FlightVector start = middle.flight;
      start[kTimeOfBounce] = a.t_s + part * gap_s;
      start.segment<2>(kBounceX) = place->head<2>();
      starts.push_back(start);
    }
  }
  // The nearest to the session's own bounce are enough.
  constexpr std::size_t kMost = 12;
  const auto expected = feed.sightings.front().t_s + middle.to_bounce_s;
  std::sort(starts.begin(), starts.end(), [&](const auto& a, const auto& b) {
    return std::abs(a[kTimeOfBounce] - expected) <
           std::abs(b[kTimeOfBounce] - expected);
  });
  if (starts.size() > kMost) starts.resize(kMost);
  return starts;
}

void try_other_flights(FoundFeed& feed,
                       const Middle& middle,
                       const CameraModel& camera,
                       const FlightOptions& options) {
  std::vector<FlightVector> starts =
      usual_starts(feed, middle, camera, options);
  const auto scanned = scan_for_bounce(feed.sightings, camera, options);
  starts.insert(starts.end(), scanned.begin(), scanned.end());
  const auto beside = [&](const FlightVector& p) {
    return middle.distance2(p);
  };
  FlightFit fit =
      fit_flight_from(starts, feed.sightings, camera, options, beside);
  if (!fit.ok()) return;
  const auto cost = [&](const FlightVector& p) {
    return flight_cost(feed.sightings, camera, options, p) + beside(p);
  };
  if (feed.fit.ok() && cost(feed.fit.parameters) <= cost(fit.parameters)) {
    return;
  }
  feed.fit = std::move(fit);
}

}  // namespace

void look_again(std::vector<FoundFeed>& found,
                const CameraModel& camera,
                const FlightOptions& options) {
  std::vector<const FoundFeed*> seen;
  for (const FoundFeed& feed : found) {
    if (feed.whole()) seen.push_back(&feed);
  }
  if (seen.size() < kFewestToLook) return;
  const Middle middle = middle_of(seen);
  constexpr double kFar2 = 16;  // four spreads in all
  for_each_index(found.size(), [&](std::size_t i) {
    FoundFeed& feed = found[i];
    if (!feed.whole() || middle.distance2(feed.fit.parameters) > kFar2) {
      try_other_flights(feed, middle, camera, options);
    }
  });
}

void weigh_late_bounces(std::vector<FoundFeed>& found,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        double least_gain) {
  constexpr double kLate_s = 0.1;
  for_each_index(found.size(), [&](std::size_t i) {
    FoundFeed& feed = found[i];
    const bool fitted = feed.fit.ok();
    const double end_s = fitted ? feed.fit.end_s : feed.sightings.back().t_s;
    const double bounce_s = feed.fit.parameters[kTimeOfBounce];
    if (fitted && end_s - bounce_s > kLate_s) return;
    std::vector<FlightVector> starts;
    if (fitted) starts.push_back(feed.fit.parameters);
    auto flights = flights_doubting_bounce(
        feed.sightings, camera, options, end_s, least_gain, std::move(starts));
    if (!flights.empty()) feed.fit = std::move(flights.front().fit);
  });
}

}  // namespace evenfeed
