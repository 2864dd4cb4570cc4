// SPDX-License-Identifier: MIT
#include "detection/picture_region.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

double turn(const Eigen::Vector2d& a,
            const Eigen::Vector2d& b,
            const Eigen::Vector2d& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

// Andrew 1979, "Another efficient algorithm for convex hulls in two
// dimensions": lower and upper chain of the points sorted by u, v.
std::vector<Eigen::Vector2d> convex_hull(std::vector<Eigen::Vector2d> points) {
  std::sort(points.begin(), points.end(), [](const auto& a, const auto& b) {
    return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y();
  });
  std::vector<Eigen::Vector2d> hull;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t base = hull.size();
    for (const Eigen::Vector2d& p : points) {
      while (hull.size() >= base + 2 &&
             turn(hull[hull.size() - 2], hull.back(), p) <= 0) {
        hull.pop_back();
      }
      hull.push_back(p);
    }
    if (!hull.empty()) hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

}  // namespace

PictureRegion::PictureRegion(int width_px, int height_px)
    : width_px_(width_px),
      rows_(static_cast<std::size_t>(std::max(height_px, 0)),
            ColumnSpan{0, width_px}) {
  require(width_px > 0 && height_px > 0, "a region needs a picture");
}

PictureRegion::PictureRegion(int width_px,
                             int height_px,
                             const std::vector<Eigen::Vector2d>& points)
    : PictureRegion(width_px, height_px) {
  const std::vector<Eigen::Vector2d> hull = convex_hull(points);
  for (int v = 0; v < height_px; ++v) {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (std::size_t i = 0; hull.size() >= 3 && i < hull.size(); ++i) {
      const Eigen::Vector2d& a = hull[i];
      const Eigen::Vector2d& b = hull[(i + 1) % hull.size()];
      if ((a.y() <= v) == (b.y() <= v)) continue;
      const double u = a.x() + (v - a.y()) / (b.y() - a.y()) * (b.x() - a.x());
      low = std::min(low, u);
      high = std::max(high, u);
    }
    ColumnSpan& span = rows_[static_cast<std::size_t>(v)];
    span = {};
    if (low > high) continue;
    const double end = width_px;
    span.first = static_cast<int>(std::clamp(std::ceil(low), 0.0, end));
    span.last = static_cast<int>(std::clamp(std::floor(high) + 1, 0.0, end));
    span.last = std::max(span.first, span.last);
  }
}

PictureRegion PictureRegion::halved() const {
  PictureRegion half((width_px_ + 1) / 2, (height_px() + 1) / 2);
  for (int v = 0; v < half.height_px(); ++v) {
    const ColumnSpan& span = row(std::min(2 * v, height_px() - 1));
    half.rows_[static_cast<std::size_t>(v)] = {(span.first + 1) / 2,
                                               (span.last + 1) / 2};
  }
  return half;
}

bool PictureRegion::contains(double u_px, double v_px) const {
  const double v = std::round(v_px);
  if (!(v >= 0 && v < height_px())) return false;
  const ColumnSpan& span = row(static_cast<int>(v));
  return u_px >= span.first - 0.5 && u_px < span.last - 0.5;
}

long PictureRegion::area_px() const {
  long area = 0;
  for (const ColumnSpan& span : rows_) area += span.last - span.first;
  return area;
}

PictureRegion region_of_space(const CameraModel& camera,
                              const BallSpace& space) {
  // Steps along each edge follow the bend of the lens and stop short of what
  // lies behind the camera.
  constexpr int kSteps = 24;
  std::vector<Eigen::Vector2d> points;
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      for (const double z_m : {0.0, space.top_m / 2, space.top_m}) {
        const bool on_wall = i == 0 || i == kSteps || j == 0 || j == kSteps;
        if (!on_wall) continue;
        const Eigen::Vector3d corner(
            space.half_length_m * (2.0 * i / kSteps - 1),
            space.half_width_m * (2.0 * j / kSteps - 1),
            z_m);
        if (const auto point = camera.project(corner)) {
          points.push_back(*point);
        }
      }
    }
  }
  return PictureRegion(camera.width_px, camera.height_px, points);
}

}  // namespace evenfeed
