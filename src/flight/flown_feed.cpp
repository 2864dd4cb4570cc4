// SPDX-License-Identifier: MIT
#include "flight/flown_feed.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace evenfeed {
namespace {

constexpr std::array<std::string_view, 3> kLegs{"in", "out", "back"};
constexpr std::array<std::string_view, 5> kMarks{
    "", "bounce", "contact", "highest", "net"};

template <typename Value, std::size_t n>
std::optional<Value> found_in(const std::array<std::string_view, n>& names,
                              std::string_view name) {
  const auto at = std::find(names.begin(), names.end(), name);
  if (at == names.end()) return std::nullopt;
  return static_cast<Value>(std::distance(names.begin(), at));
}

// One leg, flown from one time to another, both of them included.
class PathWriter {
 public:
  PathWriter(const CameraModel& camera, const FlightOptions& options)
      : camera_(camera), options_(options) {}

  void add(Leg leg, const FlightVector& p, double t_s, FlightMark mark) {
    FlownPoint point;
    point.leg = leg;
    point.mark = mark;
    point.t_s = t_s;
    point.x_in_table_m = place_m(p, t_s);
    const auto place_px = camera_.project(point.x_in_table_m);
    if (!place_px) return;
    point.place_px = point.film_px = *place_px;
    path_.push_back(point);
  }

  // Equal steps; `last` marks the end.
  void fly(Leg leg,
           const FlightVector& p,
           double from_s,
           double until_s,
           FlightMark last = FlightMark::kNone) {
    if (!(until_s > from_s)) return;
    const int steps = std::max(
        1, static_cast<int>(std::ceil((until_s - from_s) / kPathStep_s)));
    for (int i = 0; i <= steps; ++i) {
      const double t_s = from_s + (until_s - from_s) * i / steps;
      add(leg, p, t_s, i == steps ? last : FlightMark::kNone);
    }
  }

  Eigen::Vector3d place_m(const FlightVector& p, double t_s) const {
    return flight_state(p, options_, t_s).x_m;
  }
  double climb_mps(const FlightVector& p, double t_s) const {
    return flight_state(p, options_, t_s).v_mps.z();
  }

  std::vector<FlownPoint> take() { return std::move(path_); }

 private:
  const CameraModel& camera_;
  const FlightOptions& options_;
  std::vector<FlownPoint> path_;
};

// Where value(t) falls to 0 between two times; nothing if it does not.
template <typename Value>
std::optional<double> zero_between(double from_s,
                                   double until_s,
                                   const Value& value) {
  const double first = value(from_s);
  if (!(until_s > from_s) || first * value(until_s) > 0) return std::nullopt;
  for (int i = 0; i < 40; ++i) {
    const double middle_s = (from_s + until_s) / 2;
    (first * value(middle_s) > 0 ? from_s : until_s) = middle_s;
  }
  return until_s;
}

void fly_back(const ReturnFit& returned, double net_x_m, PathWriter& path) {
  const FlightVector& p = returned.fit.parameters;
  const double from_s = returned.t_contact_s;
  const double last_s =
      std::max(from_s, returned.sightings[returned.fit.last_inlier()].t_s);
  const double lands_s = p[kTimeOfBounce];
  const double flies_until_s = std::min(last_s, lands_s);
  struct Stop {
    double t_s;
    FlightMark mark;
  };
  std::vector<Stop> stops;
  const auto climb = [&](double t_s) { return path.climb_mps(p, t_s); };
  const auto beyond_net = [&](double t_s) {
    return path.place_m(p, t_s).x() - net_x_m;
  };
  // A hair before it lands: there the other arc begins.
  const double before_landing_s = std::min(flies_until_s, lands_s - 1e-6);
  if (climb(from_s) > 0) {
    if (const auto t_s = zero_between(from_s, before_landing_s, climb)) {
      stops.push_back({*t_s, FlightMark::kHighest});
    }
  }
  if (const auto t_s = zero_between(from_s, before_landing_s, beyond_net)) {
    stops.push_back({*t_s, FlightMark::kNet});
  }
  stops.push_back({flies_until_s, FlightMark::kNone});
  stops.push_back({last_s, FlightMark::kNone});
  std::sort(stops.begin(), stops.end(), [](const Stop& a, const Stop& b) {
    return a.t_s < b.t_s;
  });
  double at_s = from_s;
  for (const Stop& stop : stops) {
    path.fly(Leg::kBack, p, at_s, stop.t_s, stop.mark);
    at_s = std::max(at_s, stop.t_s);
  }
}

// When the feed was last seen on its second arc.
double last_seen_s(const FoundFeed& found) {
  return std::max(found.fit.parameters[kTimeOfBounce],
                  found.sightings[found.fit.last_inlier()].t_s);
}

}  // namespace

std::string_view leg_name(Leg leg) {
  return kLegs[static_cast<std::size_t>(leg)];
}
std::optional<Leg> find_leg(std::string_view name) {
  return found_in<Leg>(kLegs, name);
}
std::string_view mark_name(FlightMark mark) {
  return kMarks[static_cast<std::size_t>(mark)];
}
std::optional<FlightMark> find_mark(std::string_view name) {
  return found_in<FlightMark>(kMarks, name);
}

FlownFeed flown_feed(const FoundFeed& found,
                     const ReturnFit& returned,
                     const Feed& feed,
                     const CameraModel& camera,
                     const FlightOptions& options,
                     double net_x_m) {
  FlownFeed flown;
  flown.number = feed.number;
  const bool came_back = returned.fit.ok();
  flown.sightings = found.sightings;
  if (came_back) {
    flown.sightings = merged_in_time(found.sightings, returned.sightings);
  } else {
    for (const Track& track : found.returned) {
      flown.sightings = merged_in_time(flown.sightings, track.sightings);
    }
  }
  if (!found.fit.ok() || feed.status == FeedStatus::kUnmeasured) return flown;
  const FlightVector& p = found.fit.parameters;
  const double bounce_s = p[kTimeOfBounce];
  const std::size_t first =
      std::min(found.fit.first_inlier(), found.sightings.size() - 1);
  PathWriter path(camera, options);
  path.fly(
      Leg::kIn, p, found.sightings[first].t_s, bounce_s, FlightMark::kBounce);
  if (feed.status == FeedStatus::kMeasured) {
    const double contact_s = came_back
                                 ? returned.t_contact_s
                                 : feed[Characteristic::kContactTime].value;
    const bool met = std::isfinite(contact_s) && contact_s > bounce_s;
    path.fly(Leg::kOut,
             p,
             bounce_s,
             met ? contact_s : last_seen_s(found),
             met ? FlightMark::kContact : FlightMark::kNone);
    if (came_back) fly_back(returned, net_x_m, path);
  }
  flown.path = path.take();
  return flown;
}

}  // namespace evenfeed
