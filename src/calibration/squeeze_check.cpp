// SPDX-License-Identifier: MIT
#include "calibration/squeeze_check.h"

#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

constexpr double kTellingShare = 0.6;
constexpr std::size_t kEnoughCuts = 60;
// Without cuts: of five, any factor fits some camera.
constexpr std::size_t kEnoughPoints = 6;
// Common squeezes: PAL 16:15 and 64:45, NTSC 8:9 and 32:27, HDV 4:3 (ITU-R
// BT.601, SMPTE 296M), lenses for telephones 1.33; and 3:4 the other way.
constexpr double kFactors[] = {0.75, 0.8889, 1.0667, 1.1852, 1.3333, 1.4222};

double stretched_u(double u_px, double factor) {
  return (u_px + 0.5) * factor - 0.5;
}

// The residual in pixels of mean size, were they `factor` times wider.
double residual_px(const RefinedCamera& fit,
                   const std::vector<SurfaceLine>& lines,
                   std::vector<MarkedPoint> points,
                   const CameraSolverOptions& options,
                   double factor) {
  CameraModel start = fit.solution.camera;
  start.width_px = static_cast<int>(std::lround(start.width_px * factor));
  start.lens.centre_u_px = stretched_u(start.lens.centre_u_px, factor);
  start.lens.focal_px *= std::sqrt(factor);
  // Enough to tell, and quick to solve a dozen times.
  const std::size_t every = 1 + fit.cuts.size() / kEnoughCuts;
  std::vector<LineCut> cuts;
  for (std::size_t i = 0; i < fit.cuts.size(); i += every) {
    cuts.push_back(fit.cuts[i]);
  }
  for (LineCut& cut : cuts) {
    cut.measured_px.x() = stretched_u(cut.measured_px.x(), factor);
    cut.normal.x() /= factor;  // as normals of a stretched plane go
    cut.normal.normalize();
  }
  for (MarkedPoint& point : points) {
    point.picture_px.x() = stretched_u(point.picture_px.x(), factor);
  }
  const CameraSolution solution =
      solve_camera(start, lines, cuts, points, options);
  if (!solution.solved || solution.inliers < fit.solution.inliers - 0.05) {
    return std::numeric_limits<double>::infinity();
  }
  const double rms_px =
      cuts.empty() ? solution.point_rms_px : solution.cut_rms_px;
  return rms_px / std::sqrt(factor);
}

}  // namespace

Squeeze find_squeeze(const RefinedCamera& fit,
                     const std::vector<SurfaceLine>& lines,
                     const std::vector<MarkedPoint>& points,
                     const CameraSolverOptions& options) {
  Squeeze best;
  if (fit.cuts.empty() && points.size() < kEnoughPoints) return best;
  best.square_px = residual_px(fit, lines, points, options, 1);
  // Without a fit of square pixels there is nothing to compare with.
  if (!std::isfinite(best.square_px)) return best;
  best.rms_px = kTellingShare * best.square_px;
  for (const double factor : kFactors) {
    const double rms_px = residual_px(fit, lines, points, options, factor);
    if (!(rms_px < best.rms_px)) continue;
    best.rms_px = rms_px;
    best.factor = factor;
  }
  return best;
}

}  // namespace evenfeed
