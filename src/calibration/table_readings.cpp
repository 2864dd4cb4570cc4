// SPDX-License-Identifier: MIT
#include "calibration/table_readings.h"

#include "calibration/plane_camera.h"
#include "calibration/table_ends.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace evenfeed {
namespace {

// Of the rectangle's and the surface's sides, in units of their half lengths.
struct Part {
  double low_x, high_x, low_y, high_y;
};
constexpr Part kWhole{-1, 1, -1, 1};

struct Reading {
  Part seen;   // of the surface as solved
  Part means;  // what it is read as
  bool turned = false;
};

constexpr Reading kReadings[] = {
    {kWhole, {0, 1, -1, 1}},
    {kWhole, {-1, 0, -1, 1}},
    {kWhole, {-1, 1, 0, 1}},
    {kWhole, {-1, 1, -1, 0}},
    {{0, 1, -1, 1}, kWhole},
    {{-1, 0, -1, 1}, kWhole},
    {kWhole, kWhole, true},
    {kWhole, {0, 1, -1, 1}, true},
    {kWhole, {-1, 0, -1, 1}, true},
    {{0, 1, -1, 1}, kWhole, true},
    {{-1, 0, -1, 1}, kWhole, true},
    {{0, 1, -1, 1}, {0, 1, -1, 1}, true},
    {{0, 1, -1, 1}, {-1, 0, -1, 1}, true},
    {{-1, 0, -1, 1}, {0, 1, -1, 1}, true},
    {{-1, 0, -1, 1}, {-1, 0, -1, 1}, true},
};

// Misfit of a camera to four corners that another reading may leave: the
// refinement catches the rest.
constexpr double kMisfit = 0.03;

Eigen::Vector2d corner(const Part& part, int i, const Surface& surface) {
  const double x = i == 0 || i == 1 ? part.low_x : part.high_x;
  const double y = i == 0 || i == 3 ? part.low_y : part.high_y;
  return {x * surface.length_m / 2, y * surface.width_m / 2};
}

std::optional<CameraModel> read_as(const CameraModel& camera,
                                   const Surface& surface,
                                   const Reading& reading) {
  std::vector<PlanePoint> points;
  for (int i = 0; i < 4; ++i) {
    const Eigen::Vector2d at = corner(reading.seen, i, surface);
    // Distortion moves with the rays, so corners are taken free of it.
    CameraModel straight = camera;
    straight.lens.k1 = straight.lens.k2 = 0;
    const auto p = straight.project({at.x(), at.y(), 0});
    if (!p) return std::nullopt;
    const int j = reading.turned ? (i + 1) % 4 : i;
    points.push_back({corner(reading.means, j, surface), *p});
  }
  const double across =
      std::max((points[0].picture_px - points[2].picture_px).norm(),
               (points[1].picture_px - points[3].picture_px).norm());
  auto found = camera_from_plane(points, camera.width_px, camera.height_px);
  if (!found || found->rms_px > kMisfit * across) return std::nullopt;
  const double longer = found->camera.lens.focal_px / camera.lens.focal_px;
  found->camera.lens.k1 = camera.lens.k1 * longer * longer;
  return found->camera;
}

std::vector<Eigen::Vector3d> places(const Surface& surface) {
  std::vector<Eigen::Vector3d> at;
  for (const double x : {-0.5, -0.25, 0.0, 0.25, 0.5}) {
    for (const double y : {-0.5, 0.0, 0.5}) {
      at.emplace_back(x * surface.length_m, y * surface.width_m, 0);
    }
  }
  return at;
}

}  // namespace

std::vector<CameraModel> other_readings(const CameraModel& camera,
                                        const Surface& surface) {
  std::vector<CameraModel> others;
  for (const Reading& reading : kReadings) {
    if (auto other = read_as(camera, surface, reading)) {
      others.push_back(std::move(*other));
    }
  }
  return others;
}

bool shows_same_table(const CameraModel& a,
                      const CameraModel& b,
                      const Surface& surface,
                      double near_px) {
  const CameraModel turned = half_turn(b);
  for (const CameraModel* other : {&b, &turned}) {
    double farthest = 0;
    for (const Eigen::Vector3d& at : places(surface)) {
      const auto p = a.project(at), q = other->project(at);
      const bool shown = (p && a.in_picture(*p)) || (q && b.in_picture(*q));
      if (!shown) continue;
      farthest = std::max(farthest, p && q ? (*p - *q).norm() : 1e9);
    }
    if (farthest < near_px) return true;
  }
  return false;
}

bool overlap(const CameraModel& a,
             const CameraModel& b,
             const Surface& surface) {
  const auto within = [&](const CameraModel& in, const CameraModel& of) {
    for (const Eigen::Vector3d& at : places(surface)) {
      const auto p = of.project(0.9 * at);
      if (!p || !of.in_picture(*p)) continue;
      const auto x = in.meet_plane(*p, 0);
      if (x && surface.contains(x->head<2>())) return true;
    }
    return false;
  };
  return within(a, b) || within(b, a);
}

}  // namespace evenfeed
