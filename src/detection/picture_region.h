// SPDX-License-Identifier: MIT
// The part of the picture where balls can be: a span of columns per row.
#pragma once

#include "detection/ball_space.h"
#include "geometry/camera_model.h"

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// Columns first .. last - 1 of one row; first == last when none.
struct ColumnSpan {
  int first = 0;
  int last = 0;
};

class PictureRegion {
 public:
  /// The whole picture.
  PictureRegion(int width_px, int height_px);
  /// The convex hull of `points`, cut to the picture. Fewer than three points,
  /// or points in one line, give an empty region.
  PictureRegion(int width_px,
                int height_px,
                const std::vector<Eigen::Vector2d>& points);

  /// The same part of a picture half as wide and high.
  PictureRegion halved() const;

  int width_px() const { return width_px_; }
  int height_px() const { return static_cast<int>(rows_.size()); }
  const ColumnSpan& row(int v) const {
    return rows_[static_cast<std::size_t>(v)];
  }
  bool contains(double u_px, double v_px) const;
  bool empty() const { return area_px() == 0; }
  long area_px() const;

 private:
  int width_px_ = 0;
  std::vector<ColumnSpan> rows_;
};

/// What the space covers in the picture. Parts of it behind the camera are left
/// out.
PictureRegion region_of_space(const CameraModel& camera,
                              const BallSpace& space);

}  // namespace evenfeed
