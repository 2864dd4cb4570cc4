// SPDX-License-Identifier: MIT
// The page on which a person marks points of the surface on the film's still,
// for tables that cannot be found: one file with the picture inside. It gives
// the marks as the file that `calibrate --points` reads, and the command.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct MarkPageInput {
  std::string film;          ///< as it is called on the page
  std::string picture_jpeg;  ///< bytes of the still, turned upright
  int width_px = 0;          ///< of the stored picture
  int height_px = 0;
  int rotation_deg = 0;  ///< clockwise turn that shows it upright
  Surface surface;
  std::optional<LensModel<double>> lens;  ///< when it is known
  /// Marks to begin with: landmark and its place in the stored picture.
  std::vector<std::pair<std::string, Eigen::Vector2d>> marks;
  double off_px = 4;       ///< a mark is called off from here on
  std::string marks_file;  ///< the name of the file the page hands out
  std::string command;     ///< with which to go on
};

/// The surface's landmarks, those at one place under the first name only.
[[nodiscard]] std::vector<Landmark> points_to_mark(const Surface& surface);

[[nodiscard]] std::string mark_page(const MarkPageInput& input);

}  // namespace evenfeed
