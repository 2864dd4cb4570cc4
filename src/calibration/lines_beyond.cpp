// SPDX-License-Identifier: MIT
#include "calibration/lines_beyond.h"

#include "base/check.h"
#include "calibration/line_edges.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <optional>

namespace evenfeed {
namespace {

// The line's own contrast in its part next to the border.
double contrast_before(const cv::Mat& luma,
                       const CameraModel& camera,
                       const SurfaceLine& line,
                       bool at_low,
                       const LineSearch& search) {
  constexpr int kCuts = 24;
  std::vector<double> contrasts;
  for (int i = 0; i < kCuts; ++i) {
    const double in = 0.03 + 0.4 * i / kCuts;
    const auto cut =
        cut_line_at(luma, camera, line, at_low ? in : 1 - in, search);
    if (cut) contrasts.push_back(cut->contrast);
  }
  return contrasts.size() < kCuts / 3 ? 0 : median(contrasts);
}

// Whether the line goes on; nullopt when the picture does not say.
std::optional<bool> goes_on(const cv::Mat& luma,
                            const CameraModel& camera,
                            const SurfaceLine& line,
                            bool at_low,
                            const BeyondOptions& options) {
  LineSearch search;
  const auto from = camera.project(line.middle_m(0));
  const auto to = camera.project(line.middle_m(1));
  if (!from || !to) return std::nullopt;
  const Eigen::Vector2d end = at_low ? *from : *to;
  if (!camera.in_picture(end)) return std::nullopt;
  const double before = contrast_before(luma, camera, line, at_low, search);
  if (before <= 0) return std::nullopt;
  search.least_contrast =
      std::max(search.least_contrast, options.faint * before);
  const auto bar = predict_bar(camera, line, at_low ? 0 : 1);
  if (!bar) return std::nullopt;
  // Clear of the crossing line, whose corner is no continuation.
  const double skip_px = 4 + 2 * bar->width_px + search.smooth_px;
  const double look_px =
      skip_px +
      std::max(options.least_look_px, options.look * (*to - *from).norm());
  int looked = 0, found = 0;
  double next_px = skip_px;
  constexpr double kStep = 2e-3, kFarthest = 1.5;  // of the line's length
  for (double beyond = 0; beyond < kFarthest; beyond += kStep) {
    const double along = at_low ? -beyond : 1 + beyond;
    const auto here = camera.project(line.middle_m(along));
    if (!here || (*here - end).norm() > look_px) break;
    if ((*here - end).norm() < next_px) continue;
    next_px = (*here - end).norm() + options.spacing_px;
    if (!camera.in_picture(*here, 12)) continue;
    ++looked;
    found += cut_line_at(luma, camera, line, along, search).has_value();
  }
  if (looked < options.least_cuts) return std::nullopt;
  return found >= options.least_share * looked;
}

struct Side {
  bool along_x;  // of the lines that end there
  bool at_low;
  const char* words;
};

constexpr Side kSides[] = {
    {true, true, "an end line"},
    {true, false, "an end line"},
    {false, true, "a side line"},
    {false, false, "a side line"},
};

}  // namespace

void BeyondOptions::check() const {
  require_in_range(look, 0.01, 1, "look");
  require_positive(least_look_px, "least_look_px");
  require_positive(spacing_px, "spacing_px");
  require_in_range(least_cuts, 1, 1000, "least_cuts");
  require_in_range(least_share, 0.1, 1, "least_share");
  require_in_range(faint, 0.01, 1, "faint");
}

std::string lines_beyond_border(const cv::Mat& luma,
                                const CameraModel& camera,
                                const std::vector<SurfaceLine>& lines,
                                const BeyondOptions& options) {
  options.check();
  for (const Side& side : kSides) {
    int go_on = 0, end_there = 0;
    for (const SurfaceLine& line : lines) {
      if (line.net || line.along_x != side.along_x) continue;
      const auto beyond = goes_on(luma, camera, line, side.at_low, options);
      if (!beyond) continue;
      ++(*beyond ? go_on : end_there);
    }
    if (go_on >= 2 && go_on > end_there) {
      return std::string("what would be ") + side.words +
             " is not where the table ends: the lines go on beyond it";
    }
  }
  return {};
}

}  // namespace evenfeed
