// SPDX-License-Identifier: MIT
#include "calibration/camera_refiner.h"

#include "calibration/bar_profile.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

struct Round {
  double reach_px, robust_px, spacing_px;
};

// Cuts lie so far apart, and are means along the line, for a picture this wide;
// a smaller one has closer ones, or a line that runs away from the camera would
// get too few to be believed.
constexpr double kUsualWidth_px = 1280;

double cut_scale(const cv::Mat& luma) {
  return std::clamp(luma.cols / kUsualWidth_px, 0.5, 1.0);
}

// Wide and rough first; the last two rounds differ only in where the cuts lie.
std::vector<Round> rounds_from(double first_reach_px) {
  std::vector<Round> rounds;
  for (double reach = first_reach_px; reach > 5; reach *= 0.6) {
    rounds.push_back({reach, reach / 3, 20});
  }
  rounds.push_back({5, 1, 10});
  rounds.push_back({4, 0.3, 10});
  rounds.push_back({4, 0.3, 8});
  rounds.push_back({4, 0.3, 8});
  return rounds;
}

// How far the net's tape may be from where the solution puts it: three
// standard deviations at its middle, across it.
double net_reach_px(const CameraSolution& solution, const SurfaceLine& tape) {
  const double least = 5, most = 0.06 * solution.camera.width_px;
  const auto at = solution.camera.project(tape.low_m(0.5));
  const auto next = solution.camera.project(tape.low_m(0.52));
  if (!at || !next) return least;
  const Eigen::Vector2d along = (*next - *at).normalized();
  const Eigen::Vector2d across{-along.y(), along.x()};
  Eigen::Matrix<double, kCameraParameters, 1> gradient;
  for (int i = 0; i < kCameraParameters; ++i) {
    Eigen::Matrix<double, kCameraParameters, 1> delta;
    delta.setZero();
    delta[i] = 1e-5;
    const auto moved =
        moved_camera(solution.camera, delta).project(tape.low_m(0.5));
    gradient[i] = moved ? across.dot(*moved - *at) / delta[i] : 0;
  }
  const double variance = gradient.dot(solution.covariance * gradient);
  return std::clamp(3 * std::sqrt(std::max(variance, 0.0)), least, most);
}

// Keeps the cuts that lie on one straight line across their predictions:
// looked for in a wide strip, the tape is not the only bright thing. Least
// median of squares over pairs of cuts (Rousseeuw 1984).
void keep_consistent(std::vector<LineCut>& cuts) {
  constexpr double kStray_px = 1.5;
  double best = std::numeric_limits<double>::infinity();
  double best_level = 0, best_slope = 0;
  for (std::size_t i = 0; i < cuts.size(); i += 2) {
    for (std::size_t j = i + 4; j < cuts.size(); j += 3) {
      const double run = cuts[j].along - cuts[i].along;
      if (std::abs(run) < 0.1) continue;
      const double slope = (cuts[j].offset_px - cuts[i].offset_px) / run;
      const double level = cuts[i].offset_px - slope * cuts[i].along;
      std::vector<double> off;
      for (const LineCut& cut : cuts) {
        off.push_back(std::abs(cut.offset_px - level - slope * cut.along));
      }
      const double middle = median(off);
      if (middle >= best) continue;
      best = middle;
      best_level = level;
      best_slope = slope;
    }
  }
  if (best > kStray_px) {
    cuts.clear();
    return;
  }
  std::erase_if(cuts, [&](const LineCut& cut) {
    return std::abs(cut.offset_px - best_level - best_slope * cut.along) >
           kStray_px;
  });
}

// The net's cuts, in a strip of their own width.
void cut_net(const cv::Mat& luma,
             const CameraSolution& solution,
             const Surface& surface,
             const std::vector<SurfaceLine>& lines,
             LineSearch search,
             AllCuts& all) {
  for (int i = 0; i < static_cast<int>(lines.size()); ++i) {
    if (!lines[i].net) continue;
    search.reach_px = net_reach_px(solution, lines[i]);
    LineCuts found = cut_line(luma, solution.camera, surface, lines, i, search);
    keep_consistent(found.cuts);
    const int kept = static_cast<int>(found.cuts.size());
    all.support[i] = {found.looked, kept};
    if (kept < 6 || kept < 0.4 * found.looked) continue;
    all.cuts.insert(all.cuts.end(), found.cuts.begin(), found.cuts.end());
  }
}

// Only cuts that agree with the solution bear a line out.
void count_agreeing(AllCuts& all, const CameraSolution& solution) {
  if (!solution.solved) return;
  for (LineSupport& line : all.support) line.found = 0;
  for (std::size_t i = 0; i < all.cuts.size(); ++i) {
    if (solution.cut_agrees[i]) ++all.support[all.cuts[i].line].found;
  }
}

double median_blur(const std::vector<LineCut>& cuts, double otherwise) {
  std::vector<double> blurs;
  for (const LineCut& cut : cuts) {
    if (cut.predicted_width_px > kNarrowBar_px) blurs.push_back(cut.blur_px);
  }
  if (blurs.size() < 10) return otherwise;
  return median(blurs);
}

}  // namespace

AllCuts cut_all_lines(const cv::Mat& luma,
                      const CameraModel& camera,
                      const Surface& surface,
                      const std::vector<SurfaceLine>& lines,
                      const LineSearch& search) {
  AllCuts all;
  for (int i = 0; i < static_cast<int>(lines.size()); ++i) {
    if (lines[i].net) {
      all.support.push_back({});
      continue;
    }
    const LineCuts found = cut_line(luma, camera, surface, lines, i, search);
    all.cuts.insert(all.cuts.end(), found.cuts.begin(), found.cuts.end());
    all.support.push_back({found.looked, static_cast<int>(found.cuts.size())});
  }
  return all;
}

RefinedCamera refine_camera(const cv::Mat& luma,
                            const CameraModel& start,
                            const Surface& surface,
                            std::vector<SurfaceLine> lines,
                            const std::vector<MarkedPoint>& points,
                            const CameraSolverOptions& options,
                            double first_reach_px) {
  RefinedCamera result;
  CameraModel camera = start;
  lines = facing(std::move(lines), surface.net, camera.eye_in_table_m().x());
  bool settled = false;
  LineSearch search;
  search.smooth_px *= cut_scale(luma);
  for (const Round& round : rounds_from(first_reach_px)) {
    search.reach_px = round.reach_px;
    search.spacing_px = round.spacing_px * cut_scale(luma);
    AllCuts all = cut_all_lines(luma, camera, surface, lines, search);
    if (settled) {
      cut_net(luma, result.solution, surface, lines, search, all);
    }
    CameraSolverOptions now = options;
    now.robust_px = std::max(round.robust_px, options.robust_px);
    result.solution = solve_camera(camera, lines, all.cuts, points, now);
    count_agreeing(all, result.solution);
    result.lines = lines;
    result.cuts = std::move(all.cuts);
    result.support = std::move(all.support);
    if (!result.solution.solved) return result;
    camera = result.solution.camera;
    lines = facing(std::move(lines), surface.net, camera.eye_in_table_m().x());
    settled = round.reach_px <= 5;
    search.blur_px = median_blur(result.cuts, search.blur_px);
  }
  return result;
}

}  // namespace evenfeed
