// SPDX-License-Identifier: MIT
#include "flight/launch_mouth.h"

#include "base/nan.h"
#include "flight/derive_feed.h"
#include "flight/propagate.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestStarts = 5;
constexpr double kMouthReach_m = 0.15;  // half the height of a launcher's tube
constexpr double kSpreads = 8;

double first_x_m(const FoundFeed& feed, const FlightOptions& options) {
  return flight_state(feed.fit.parameters, options, feed.sightings.front().t_s)
      .x_m.x();
}

// How far off the point of a flight that was lost before its bounce may be by
// what it leaves uncertain: from above its height may be anything within
// decimetres.
Eigen::Vector2d own_reach_m(const FoundFeed& feed,
                            const FlightOptions& options,
                            double x_m) {
  constexpr double kSigmas = 3;
  if (feed.whole()) return Eigen::Vector2d::Zero();
  const FlightCovariance root = feed.fit.covariance.llt().matrixL();
  const auto sigmas = propagated_sigmas(
      feed.fit.parameters, root, [&](const FlightVector& near) {
        const auto point = passing_point(near, options, x_m);
        return point ? std::array{point->x(), point->y()}
                     : std::array{kNaN, kNaN};
      });
  Eigen::Vector2d reach(kSigmas * sigmas[0], kSigmas * sigmas[1]);
  return reach.allFinite() ? reach : Eigen::Vector2d::Zero();
}

// Where feeds pass a plane x = x_m across the table.
struct Gate {
  double x_m;
  Eigen::Vector2d middle_m;  // y and z
  Eigen::Vector2d reach_m;
};

std::optional<Gate> gate_at(double x_m,
                            const std::vector<FoundFeed>& found,
                            const FlightOptions& options) {
  std::vector<double> across;
  std::vector<double> height;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    const auto point = passing_point(feed.fit.parameters, options, x_m);
    if (!point) continue;
    across.push_back(point->x());
    height.push_back(point->y());
  }
  if (across.size() < kFewestStarts) return std::nullopt;
  const auto reach = [](const std::vector<double>& places) {
    return std::max(kMouthReach_m,
                    kSpreads * median_absolute_deviation(places));
  };
  return Gate{
      x_m, {median(across), median(height)}, {reach(across), reach(height)}};
}

// From where feeds are first seen back to where the mouth may be: a ball that
// left it slower or higher than the others meets them only there.
std::vector<Gate> gates_of(const std::vector<FoundFeed>& found,
                           const FlightOptions& options) {
  constexpr double kStep_m = 0.1;
  constexpr int kSteps = 5;
  std::vector<double> starts;
  for (const FoundFeed& feed : found) {
    if (feed.whole()) starts.push_back(first_x_m(feed, options));
  }
  if (starts.size() < kFewestStarts) return {};
  const double first_seen_m = median(starts);
  std::vector<Gate> gates;
  for (int i = 0; i <= kSteps; ++i) {
    const auto gate = gate_at(first_seen_m - i * kStep_m, found, options);
    if (gate) gates.push_back(*gate);
  }
  return gates;
}

// Where the others are first seen; farther back only what was seen near there
// itself, since a short piece from elsewhere leads anywhere.
bool passes(const Gate& gate,
            double first_seen_m,
            const FoundFeed& feed,
            const FlightOptions& options) {
  constexpr double kNear_m = 0.6;
  if (gate.x_m < first_seen_m &&
      first_x_m(feed, options) > first_seen_m + kNear_m) {
    return false;
  }
  const auto point = passing_point(feed.fit.parameters, options, gate.x_m);
  if (!point) return false;
  const Eigen::Vector2d allowed =
      gate.reach_m + own_reach_m(feed, options, gate.x_m);
  return ((*point - gate.middle_m).array().abs() <= allowed.array()).all();
}

}  // namespace

std::optional<Eigen::Vector2d> passing_point(const FlightVector& p,
                                             const FlightOptions& options,
                                             double x_m) {
  const double t_s = time_at_x_s(p, options, Arc::kIn, x_m);
  if (!std::isfinite(t_s)) return std::nullopt;
  return flight_state(p, options, Arc::kIn, t_s).x_m.tail<2>();
}

double launch_line_m(const std::vector<FoundFeed>& found,
                     const CameraModel& camera,
                     const FlightOptions& options) {
  constexpr double kEdge_px = 25;
  std::vector<double> first_x;
  int at_edge = 0;
  for (const FoundFeed& feed : found) {
    if (!feed.fit.ok() || feed.fit.before < 2) continue;
    const Sighting& s = feed.sightings[feed.fit.first_inlier()];
    at_edge += !camera.in_picture(s.centre_px, kEdge_px);
    first_x.push_back(
        flight_state(feed.fit.parameters, options, Arc::kIn, s.t_s).x_m.x());
  }
  if (first_x.empty() || 2 * at_edge > static_cast<int>(first_x.size())) {
    return kNaN;
  }
  std::sort(first_x.begin(), first_x.end());
  return first_x[first_x.size() / 20];  // one stray sighting may lie behind
}

std::optional<LaunchHeight> launch_height(const std::vector<FoundFeed>& found,
                                          const FlightOptions& options,
                                          double launch_x_m) {
  constexpr double kFirstSpread_m = 0.005;
  if (std::isnan(launch_x_m)) return std::nullopt;
  std::vector<double> heights;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    const auto point = passing_point(feed.fit.parameters, options, launch_x_m);
    if (point) heights.push_back(point->y());
  }
  if (heights.empty()) return std::nullopt;
  return LaunchHeight{launch_x_m, {median(heights), kFirstSpread_m}};
}

int drop_flights_from_elsewhere(std::vector<FoundFeed>& found,
                                std::vector<Track>& strays,
                                const FlightOptions& options) {
  const std::vector<Gate> gates = gates_of(found, options);
  if (gates.empty()) return 0;
  const auto from_elsewhere = [&](const FoundFeed& feed) {
    return feed.fit.ok() &&
           std::none_of(gates.begin(), gates.end(), [&](const Gate& gate) {
             return passes(gate, gates.front().x_m, feed, options);
           });
  };
  const auto gone =
      std::stable_partition(found.begin(), found.end(), [&](const auto& feed) {
        return !from_elsewhere(feed);
      });
  const auto count = found.end() - gone;
  for (auto feed = gone; feed != found.end(); ++feed) {
    strays.push_back(Track{std::move(feed->sightings)});
  }
  found.erase(gone, found.end());
  return static_cast<int>(count);
}

}  // namespace evenfeed
