// SPDX-License-Identifier: MIT
// Whether a picture was squeezed without the film saying so. A camera has one
// focal length for both directions; a picture squeezed in its width is that of
// no such camera, but over a table its tilt and place can be bent so far that
// the lines nearly fit. They fit better by far once the picture is stretched
// back: so the cuts of a finished calibration are stretched by a factor and
// solved again, from 0.75 to 1.42, and the residuals compared.
#pragma once

#include "calibration/camera_refiner.h"

#include <vector>

namespace evenfeed {

struct Squeeze {
  double factor = 1;     ///< pixels so many times wider than high; 1: square
  double rms_px = 0;     ///< residual with pixels of that shape
  double square_px = 0;  ///< residual with square ones
};

/// factor 1 unless another explains the cuts, or six points and more where
/// there are none, with less than 0.6 of the residual. Where the view does not
/// tell (a camera straight above sees only a table of other proportions as
/// another factor), none does.
[[nodiscard]] Squeeze find_squeeze(const RefinedCamera& fit,
                                   const std::vector<SurfaceLine>& lines,
                                   const std::vector<MarkedPoint>& points,
                                   const CameraSolverOptions& options);

}  // namespace evenfeed
