// SPDX-License-Identifier: MIT
#include "calibration/fit_residual.h"

#include "base/units.h"
#include "calibration/uneven_table.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr double kResidualWidth_px = 1920;  // max_residual_px is meant for
// A table that shows everything may be off its profile by so many times the
// limit, with a warning: halves that do not meet, or not in one line.
constexpr double kWarpedTable = 2;
// One that is marked by hand: 20 mm, as PlausibleCamera::landing_sd_m.
constexpr double kUnevenTable = 4;
constexpr double kLeastInliers = 0.6;
// Marks may miss by so many of their own sd, rms: those that say nothing (1 px)
// by what the profiles allow.
constexpr double kMarksMiss = 1.5;

double usual_px(const CalibrationLimits& limits, int width_px) {
  return limits.max_residual_px * std::max(1.0, width_px / kResidualWidth_px);
}

double allowed_px(const std::vector<MarkedPoint>& marks,
                  const CalibrationLimits& limits,
                  int width_px) {
  if (marks.empty()) return usual_px(limits, width_px);
  double square = 0;
  for (const MarkedPoint& mark : marks) square += mark.sigma_px * mark.sigma_px;
  return std::max(usual_px(limits, width_px),
                  kMarksMiss * std::sqrt(square / marks.size()));
}

// At the table, over the cuts of painted lines; negative when there are none.
double cuts_mm(const RefinedCamera& fit,
               const std::vector<SurfaceLine>& lines) {
  const CameraSolution& solution = fit.solution;
  double square_m = 0;
  int n = 0;
  for (std::size_t i = 0; i < fit.cuts.size(); ++i) {
    const LineCut& cut = fit.cuts[i];
    const SurfaceLine& line = lines[cut.line];
    const double scale = line.net ? 0 : px_per_m_at(solution.camera, line, cut);
    const double r = solution.cut_residual_px[i];
    if (scale <= 0 || std::abs(r) > 5 * solution.cut_rms_px) continue;
    square_m += r * r / (scale * scale);
    ++n;
  }
  return n > 0 ? mm_from_m(std::sqrt(square_m / n)) : -1;
}

// The same where cuts that found nothing lie as far off as was looked.
double with_unseen_mm(const RefinedCamera& fit, double seen_mm) {
  int looked = 0, found = 0;
  for (const LineSupport& line : fit.support) {
    looked += line.looked;
    found += line.found;
  }
  if (looked == 0) return seen_mm;
  const double share = double(found) / looked;
  const double unseen_mm = mm_from_m(kUnevenReach_m);
  return std::sqrt(share * seen_mm * seen_mm +
                   (1 - share) * unseen_mm * unseen_mm);
}

double marks_mm(const CameraModel& camera,
                const std::vector<MarkedPoint>& marks) {
  double square_m = 0;
  int n = 0;
  for (const MarkedPoint& mark : marks) {
    const auto at = camera.meet_plane(mark.picture_px, mark.x_in_table_m.z());
    if (!at) continue;
    square_m += (*at - mark.x_in_table_m).head<2>().squaredNorm() / 2;
    ++n;
  }
  return n > 0 ? mm_from_m(std::sqrt(square_m / n)) : 0;
}

}  // namespace

FitResidual fit_residual(const RefinedCamera& fit,
                         const std::vector<SurfaceLine>& lines,
                         const std::vector<MarkedPoint>& marks,
                         const CalibrationLimits& limits,
                         bool shows_all) {
  const CameraSolution& solution = fit.solution;
  const int width_px = solution.camera.width_px;
  FitResidual left;
  left.px = solution.cut_rms_px;
  const double of_cuts_mm = cuts_mm(fit, lines);
  left.mm = std::max(0.0, of_cuts_mm);
  // Marks made by hand are judged by themselves: lines must not hide them.
  if (!marks.empty() && of_cuts_mm < 0) {
    left.px = solution.point_rms_px;
    left.mm = marks_mm(solution.camera, marks);
  } else if (!marks.empty() && solution.point_rms_px > limits.max_residual_px) {
    left.px = solution.point_rms_px;
    left.mm = std::max(left.mm, marks_mm(solution.camera, marks));
  }
  left.allowed_px = allowed_px(marks, limits, width_px);
  // Seen at a low angle, the best fit there is leaves some mm at the table;
  // what it leaves in doubt is judged by the covariance, and so is what marks
  // that are said to be rough leave there.
  const bool rough_marks = left.allowed_px > usual_px(limits, width_px);
  const bool far_off =
      !rough_marks &&
      left.mm >
          (shows_all ? kWarpedTable : 1) * mm_from_m(limits.max_residual_m) &&
      left.px > kFinest_px * std::max(1.0, width_px / kResidualWidth_px);
  left.within = left.px <= left.allowed_px && !far_off &&
                solution.inliers >= kLeastInliers;
  return left;
}

FitResidual uneven_residual(const RefinedCamera& fit,
                            const std::vector<SurfaceLine>& lines,
                            const std::vector<MarkedPoint>& marks,
                            const CalibrationLimits& limits) {
  const CameraSolution& solution = fit.solution;
  FitResidual left;
  left.px = solution.point_rms_px;
  left.mm = cuts_mm(fit, lines);
  left.allowed_px = allowed_px(marks, limits, solution.camera.width_px);
  left.within = left.px <= left.allowed_px && left.mm >= 0 &&
                with_unseen_mm(fit, left.mm) <=
                    kUnevenTable * mm_from_m(limits.max_residual_m) &&
                solution.inliers >= kLeastInliers;
  return left;
}

}  // namespace evenfeed
