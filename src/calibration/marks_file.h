// SPDX-License-Identifier: MIT
// Points marked by hand, as `calibrate --mark` hands them out and `--points`
// reads them.
#pragma once

#include "calibration/camera_solver.h"
#include "geometry/surface.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct PictureSize {
  int width_px = 0;
  int height_px = 0;
};

struct MarksFile {
  std::vector<MarkedPoint> marks;
  /// Of the pictures they were marked on; absent: not told.
  std::optional<PictureSize> size;
};

/// CSV with columns name, u_px, v_px and optionally s_px (default 1): where a
/// named landmark of the surface is in the film's stored picture, pixel centres
/// at integers; and width_px, height_px of that picture, in every row or none.
/// Throws InputError for a file without a point, an unknown name (listing the
/// allowed ones), a name that stands twice, a point far outside any picture, or
/// sizes that are none or differ.
[[nodiscard]] MarksFile load_marks(const std::filesystem::path& file,
                                   const Surface& surface);
[[nodiscard]] MarksFile parse_marks(const std::string& text,
                                    const std::string& name,
                                    const Surface& surface);

/// Throws InputError when marks of pictures of one size are for a film of
/// another.
void check_marks_size(const PictureSize& marked, int width_px, int height_px);

}  // namespace evenfeed
