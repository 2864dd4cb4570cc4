// SPDX-License-Identifier: MIT
// A table's field is plain between its painted lines; a stretch of floor that
// happens to show lines at a table's distances seldom is.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// How many narrow bright bars the picture shows across the field where the
/// surface has none: the second largest of four counts along its length, so
/// that print on the table does not matter. `line_contrast`: grey levels of
/// the painted lines against the field.
int stray_lines_across(const cv::Mat& luma,
                       const CameraModel& camera,
                       const Surface& surface,
                       double line_contrast);

}  // namespace evenfeed
