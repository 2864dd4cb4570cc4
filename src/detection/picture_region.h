// SPDX-License-Identifier: MIT
// The part of the picture where balls can be: a span of columns per row.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/surface.h"

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

/// How far beyond the edge of the table a ball is still looked for.
struct RegionMargins {
  double along_m = 0.4;   ///< beyond either end
  double across_m = 0.3;  ///< beyond either side
  /// Above the surface: what is launched at 5 m/s must be lobbed, and rises to
  /// a metre on its way across the net.
  double height_m = 1.2;
};

/// What the box over the table, as wide and high as `margins` say, covers in
/// the picture. Parts of the box behind the camera are left out.
PictureRegion region_over_table(const CameraModel& camera,
                                const Surface& surface,
                                const RegionMargins& margins);

}  // namespace evenfeed
