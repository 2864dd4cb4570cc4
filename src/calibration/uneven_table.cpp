// SPDX-License-Identifier: MIT
#include "calibration/uneven_table.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace evenfeed {
namespace {

constexpr double kLeastReach_px = 4;
constexpr double kReachWidth_px = 1280;  // for which it is said
// A leaf sags between its legs and droops from the net: a bend or two.
constexpr double kPiecesOfLine = 4;
constexpr int kRounds = 5;  // the first finds the lines, four settle the weight

double reach_px(const CameraModel& camera, const SurfaceLine& line) {
  const double least = kLeastReach_px * camera.width_px / kReachWidth_px;
  const auto bar = predict_bar(camera, line, 0.5);
  if (!bar) return least;
  LineCut middle;
  middle.along = 0.5;
  middle.normal = bar->normal;
  return std::max(least, kUnevenReach_m * px_per_m_at(camera, line, middle));
}

AllCuts cut_lines(const cv::Mat& luma,
                  const CameraModel& camera,
                  const Surface& surface,
                  const std::vector<SurfaceLine>& lines) {
  AllCuts all;
  for (int i = 0; i < static_cast<int>(lines.size()); ++i) {
    all.support.push_back({});
    if (lines[i].net) continue;
    LineSearch search;
    search.reach_px = reach_px(camera, lines[i]);
    search.spacing_px *= camera.width_px / kReachWidth_px;
    const LineCuts found = cut_line(luma, camera, surface, lines, i, search);
    all.cuts.insert(all.cuts.end(), found.cuts.begin(), found.cuts.end());
    all.support.back() = {found.looked, static_cast<int>(found.cuts.size())};
  }
  return all;
}

// Of one cut, so that all of a line weigh as its pieces do.
double cut_sigma_px(const AllCuts& all, double uneven_px) {
  const auto seen = std::count_if(
      all.support.begin(), all.support.end(), [](const auto& line) {
        return line.found > 0;
      });
  const double of_line =
      static_cast<double>(all.cuts.size()) / std::max<double>(1, seen);
  return uneven_px * std::sqrt(std::max(1.0, of_line / kPiecesOfLine));
}

}  // namespace

std::optional<RefinedCamera> fit_uneven_table(
    const cv::Mat& luma,
    const CameraModel& start,
    const Surface& surface,
    std::vector<SurfaceLine> lines,
    const std::vector<MarkedPoint>& marks,
    const CameraSolverOptions& solver) {
  RefinedCamera fit;
  fit.solution.camera = start;
  double uneven_px = kLeastReach_px * luma.cols / kReachWidth_px;
  for (int round = 0; round < kRounds; ++round) {
    const CameraModel camera = fit.solution.camera;
    fit.lines = facing(lines, surface.net, camera.eye_in_table_m().x());
    AllCuts all = cut_lines(luma, camera, surface, fit.lines);
    CameraSolverOptions loose = solver;
    loose.cut_sigma_px =
        std::max(loose.cut_sigma_px, cut_sigma_px(all, uneven_px));
    loose.line_sigma_px = std::max(loose.line_sigma_px, uneven_px);
    loose.robust_px = std::max(loose.robust_px, 3 * uneven_px);
    fit.solution = solve_camera(camera, fit.lines, all.cuts, marks, loose);
    if (!fit.solution.solved) return std::nullopt;
    fit.cuts = std::move(all.cuts);
    fit.support = std::move(all.support);
    uneven_px = fit.solution.cut_rms_px;
  }
  return fit;
}

}  // namespace evenfeed
