// SPDX-License-Identifier: MIT
#include "calibration/stray_bars.h"

#include "base/check.h"
#include "calibration/behind_net.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

using Eigen::Vector2d;

constexpr double kAroundNet_m = 0.05;  // cord, posts and sag

// A line or outline as the lens draws it.
struct Course {
  std::vector<Vector2d> points_px;
  double half_width_px = 0;

  double distance_px(const Vector2d& p) const {
    double nearest = 1e9;
    for (std::size_t i = 1; i < points_px.size(); ++i) {
      const Vector2d& a = points_px[i - 1];
      const Vector2d d = points_px[i] - a;
      const double t =
          std::clamp(d.dot(p - a) / std::max(d.squaredNorm(), 1e-12), 0.0, 1.0);
      nearest = std::min(nearest, (a + t * d - p).norm());
    }
    return nearest - half_width_px;
  }
};

Course course_of(const SurfaceLine& line, const CameraModel& camera) {
  constexpr int kPieces = 32;
  Course course;
  for (int i = 0; i <= kPieces; ++i) {
    const double along = double(i) / kPieces;
    const auto at = camera.project(line.middle_m(along));
    if (!at) continue;
    course.points_px.push_back(*at);
    const auto edge = camera.project(line.high_m(along));
    if (edge) {
      course.half_width_px =
          std::max(course.half_width_px, (*edge - *at).norm());
    }
  }
  return course;
}

class BareSurface {
 public:
  BareSurface(const CameraModel& camera,
              const Surface& surface,
              const std::vector<SurfaceLine>& lines,
              double near_px)
      : camera_(camera),
        surface_(surface),
        eye_(camera.eye_in_table_m()),
        near_px_(near_px) {
    for (const SurfaceLine& line : lines) {
      courses_.push_back(course_of(line, camera));
    }
  }

  bool holds(const Vector2d& p) const {
    const auto x = camera_.meet_plane(p, 0);
    if (!x || !surface_.contains(x->head<2>()) || at_net(*x)) return false;
    return std::none_of(
        courses_.begin(), courses_.end(), [&](const Course& course) {
          return course.distance_px(p) < near_px_;
        });
  }

 private:
  // The net itself, or seen through it.
  bool at_net(const Eigen::Vector3d& x) const {
    const Net& net = surface_.net;
    return (net.present && std::abs(x.x() - net.x_m) < kAroundNet_m) ||
           behind_net(net, eye_, x, kAroundNet_m);
  }

  const CameraModel& camera_;
  const Surface& surface_;
  Eigen::Vector3d eye_;
  double near_px_;
  std::vector<Course> courses_;
};

}  // namespace

void StrayBarOptions::check() const {
  require_in_range(near_line, 0.0005, 0.1, "near_line");
  require_in_range(least, 0.005, 1, "least");
}

int stray_bars(const std::vector<BrightBar>& bars,
               const CameraModel& camera,
               const Surface& surface,
               const std::vector<SurfaceLine>& lines,
               const StrayBarOptions& options) {
  options.check();
  constexpr int kPlaces = 24;
  const BareSurface bare(
      camera, surface, lines, options.near_line * camera.width_px);
  const auto strays = [&](const BrightBar& bar) {
    int on = 0;
    for (int i = 0; i < kPlaces; ++i) {
      const double t = (i + 0.5) / kPlaces;
      on += bare.holds(bar.from_px + t * (bar.to_px - bar.from_px));
    }
    return on * bar.length_px() >= kPlaces * options.least * camera.width_px;
  };
  return static_cast<int>(std::count_if(bars.begin(), bars.end(), strays));
}

}  // namespace evenfeed
