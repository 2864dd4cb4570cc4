// SPDX-License-Identifier: MIT
#include "flight/launch_mouth.h"

#include "flight/derive_feed.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestFeeds = 5;
constexpr double kMouthReach_m = 0.15;  // half the height of a launcher's tube
constexpr double kSpreads = 8;

double first_x_m(const FoundFeed& feed, const FlightOptions& options) {
  return flight_state(feed.fit.parameters, options, feed.sightings.front().t_s)
      .x_m.x();
}

}  // namespace

std::optional<Eigen::Vector2d> passing_point(const FoundFeed& feed,
                                             const FlightOptions& options,
                                             double x_m) {
  const FlightVector& p = feed.fit.parameters;
  const double t_s = time_at_x_s(p, options, Arc::kIn, x_m);
  if (!std::isfinite(t_s)) return std::nullopt;
  return flight_state(p, options, Arc::kIn, t_s).x_m.tail<2>();
}

int drop_flights_from_elsewhere(std::vector<FoundFeed>& found,
                                const FlightOptions& options) {
  std::vector<double> starts;
  for (const FoundFeed& feed : found) {
    if (feed.whole()) {
      starts.push_back(first_x_m(feed, options));
    }
  }
  if (starts.size() < kFewestFeeds) return 0;
  const double mouth_x_m = median(starts);
  std::vector<double> across;
  std::vector<double> height;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    const auto point = passing_point(feed, options, mouth_x_m);
    if (!point) continue;
    across.push_back(point->x());
    height.push_back(point->y());
  }
  if (across.size() < kFewestFeeds) return 0;
  const Eigen::Vector2d mouth(median(across), median(height));
  const Eigen::Vector2d reach(
      std::max(kMouthReach_m, kSpreads * median_absolute_deviation(across)),
      std::max(kMouthReach_m, kSpreads * median_absolute_deviation(height)));
  const std::size_t before = found.size();
  std::erase_if(found, [&](const FoundFeed& feed) {
    if (!feed.fit.ok()) return false;
    const auto point = passing_point(feed, options, mouth_x_m);
    return !point || ((*point - mouth).array().abs() > reach.array()).any();
  });
  return static_cast<int>(before - found.size());
}

}  // namespace evenfeed
