// SPDX-License-Identifier: MIT
#include "pictures/flown_part.h"

#include <algorithm>

namespace evenfeed {
namespace {

FlownPoint between(const FlownPoint& a, const FlownPoint& b, double share) {
  FlownPoint point = a;
  point.mark = FlightMark::kNone;
  point.t_s = a.t_s + share * (b.t_s - a.t_s);
  point.x_in_table_m =
      a.x_in_table_m + share * (b.x_in_table_m - a.x_in_table_m);
  point.place_px = a.place_px + share * (b.place_px - a.place_px);
  point.film_px = a.film_px + share * (b.film_px - a.film_px);
  return point;
}

// Up to where `ahead_s` of a point, which grows along the way, becomes 0.
template <typename Ahead>
std::vector<FlownPoint> flown_to(const FlownFeed& feed, const Ahead& ahead_s) {
  std::vector<FlownPoint> flown;
  for (const FlownPoint& point : feed.path) {
    const double ahead = ahead_s(point);
    if (ahead <= 0) {
      flown.push_back(point);
      continue;
    }
    if (!flown.empty()) {
      const double behind = -ahead_s(flown.back());
      flown.push_back(between(flown.back(), point, behind / (behind + ahead)));
    }
    break;
  }
  return flown;
}

}  // namespace

std::vector<FlownPoint> flown_until(const FlownFeed& feed,
                                    const CameraModel& camera,
                                    double t_frame_s) {
  return flown_to(feed, [&](const FlownPoint& point) {
    return point.t_s - camera.mid_exposure_s(t_frame_s, point.film_px.y());
  });
}

std::vector<FlownPoint> flown_by(const FlownFeed& feed, double t_s) {
  return flown_to(feed,
                  [&](const FlownPoint& point) { return point.t_s - t_s; });
}

std::optional<FlownPoint> flown_at(const FlownFeed& feed, double t_s) {
  if (feed.path.empty() || t_s < feed.path.front().t_s ||
      t_s > feed.path.back().t_s) {
    return std::nullopt;
  }
  return flown_by(feed, t_s).back();
}

std::optional<FlownPoint> marked_point(const FlownFeed& feed, FlightMark mark) {
  const auto found = std::find_if(
      feed.path.begin(), feed.path.end(), [&](const FlownPoint& point) {
        return point.mark == mark;
      });
  if (found == feed.path.end()) return std::nullopt;
  return *found;
}

double moment_of_frame_s(const FlownFeed& feed,
                         const CameraModel& camera,
                         double t_frame_s) {
  double row_px = camera.height_px / 2.;
  if (!feed.path.empty()) {
    const std::vector<FlownPoint> flown = flown_until(feed, camera, t_frame_s);
    row_px = (flown.empty() ? feed.path.front() : flown.back()).film_px.y();
  }
  return camera.mid_exposure_s(t_frame_s, row_px);
}

}  // namespace evenfeed
