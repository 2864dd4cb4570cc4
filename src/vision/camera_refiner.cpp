// SPDX-License-Identifier: MIT
#include "vision/camera_refiner.h"

#include "vision/bar_profile.h"

#include <algorithm>

namespace evenfeed {
namespace {

struct Round {
  double reach_px, robust_px, spacing_px;
};

// Wide and rough first; the last two rounds differ only in where the cuts lie.
std::vector<Round> rounds_from(double first_reach_px) {
  std::vector<Round> rounds;
  for (double reach = first_reach_px; reach > 5; reach *= 0.6) {
    rounds.push_back({reach, reach / 3, 20});
  }
  rounds.push_back({5, 1, 10});
  rounds.push_back({4, 0.3, 8});
  rounds.push_back({4, 0.3, 8});
  return rounds;
}

// Until the painted lines have settled the net's place is a guess.
void drop_net(const std::vector<SurfaceLine>& lines, AllCuts& all) {
  std::erase_if(all.cuts,
                [&](const LineCut& cut) { return lines[cut.line].net; });
}

double median_blur(const std::vector<LineCut>& cuts, double otherwise) {
  std::vector<double> blurs;
  for (const LineCut& cut : cuts) {
    if (cut.predicted_width_px > kNarrowBar_px) blurs.push_back(cut.blur_px);
  }
  if (blurs.size() < 10) return otherwise;
  const auto middle = blurs.begin() + blurs.size() / 2;
  std::nth_element(blurs.begin(), middle, blurs.end());
  return *middle;
}

}  // namespace

AllCuts cut_all_lines(const cv::Mat& luma,
                      const CameraModel& camera,
                      const Surface& surface,
                      const std::vector<SurfaceLine>& lines,
                      const LineSearch& search) {
  AllCuts all;
  for (int i = 0; i < static_cast<int>(lines.size()); ++i) {
    const LineCuts found = cut_line(luma, camera, surface, lines, i, search);
    all.cuts.insert(all.cuts.end(), found.cuts.begin(), found.cuts.end());
    all.support.push_back({found.looked, static_cast<int>(found.cuts.size())});
  }
  return all;
}

RefinedCamera refine_camera(const cv::Mat& luma,
                            const CameraModel& start,
                            const Surface& surface,
                            const std::vector<SurfaceLine>& lines,
                            const std::vector<MarkedPoint>& points,
                            const CameraSolverOptions& options,
                            double first_reach_px) {
  RefinedCamera result;
  CameraModel camera = start;
  LineSearch search;
  for (const Round& round : rounds_from(first_reach_px)) {
    search.reach_px = round.reach_px;
    search.spacing_px = round.spacing_px;
    AllCuts all = cut_all_lines(luma, camera, surface, lines, search);
    if (round.reach_px >= 5) drop_net(lines, all);
    CameraSolverOptions now = options;
    now.robust_px = std::max(round.robust_px, options.robust_px);
    result.solution = solve_camera(camera, lines, all.cuts, points, now);
    result.cuts = std::move(all.cuts);
    result.support = std::move(all.support);
    if (!result.solution.solved) return result;
    camera = result.solution.camera;
    search.blur_px = median_blur(result.cuts, search.blur_px);
  }
  return result;
}

}  // namespace evenfeed
