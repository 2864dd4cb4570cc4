// SPDX-License-Identifier: MIT
#include "calibration/cut_out_picture.h"

#include "calibration/plausible_camera.h"
#include "calibration/table_choice.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Of the axis beside the middle, part of the width, one sd.
constexpr double kCutOut = 0.1;
// Nearer than so many sd of a whole picture's it was not cut.
constexpr double kBesideMiddle = 4;
constexpr double kFarReach = 0.0125;  // of the width: the start is rough

}  // namespace

std::string CutOutPicture::words() const {
  return fmt::format(
      "the picture seems to be cut out of a larger one: the lens's axis lies "
      "{:.0f} px beside its middle. Calibrate and measure on the whole picture "
      "if there is one",
      beside_px);
}

std::optional<CutOutPicture> find_cut_out(const cv::Mat& luma,
                                          const CameraModel& start,
                                          const Surface& surface,
                                          const std::vector<SurfaceLine>& lines,
                                          const std::vector<MarkedPoint>& marks,
                                          const CameraSolverOptions& solver) {
  CutOutPicture cut;
  cut.solver = solver;
  cut.solver.centre_sd = kCutOut;
  CameraModel from = start;
  if (!marks.empty()) {
    const CameraSolution rough =
        solve_camera(start, lines, {}, marks, cut.solver);
    if (!rough.solved) return std::nullopt;
    from = rough.camera;
  }
  cut.fit = refine_camera(luma,
                          from,
                          surface,
                          lines,
                          marks,
                          cut.solver,
                          std::max(8.0, kFarReach * luma.cols));
  const CameraSolution& solution = cut.fit.solution;
  if (!solution.solved || !weigh(cut.fit, cut.fit.lines).could_stand()) {
    return std::nullopt;
  }
  const std::string why = why_implausible(
      solution.camera, solution.marginal, solution.covariance, surface);
  if (!why.empty()) return std::nullopt;
  cut.beside_px =
      std::hypot(solution.camera.lens.centre_u_px - (luma.cols - 1) / 2.0,
                 solution.camera.lens.centre_v_px - (luma.rows - 1) / 2.0);
  if (cut.beside_px < kBesideMiddle * solver.centre_sd * luma.cols) {
    return std::nullopt;
  }
  return cut;
}

}  // namespace evenfeed
