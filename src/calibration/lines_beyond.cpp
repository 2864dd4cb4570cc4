// SPDX-License-Identifier: MIT
#include "calibration/lines_beyond.h"

#include "base/check.h"
#include "calibration/line_edges.h"
#include "calibration/line_in_view.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

namespace evenfeed {
namespace {

constexpr double kCutMargin_px = 12;  // cuts need so much of the picture

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

// One end of a line, as it is seen, and where the part in view begins.
struct LineEnd {
  const SurfaceLine& line;
  bool at_low;
  Eigen::Vector2d at_px, begin_px;
  double length_px = 0;
  LineSearch search;  // for bars as strong as the line itself
  double along(double beyond) const { return at_low ? -beyond : 1 + beyond; }
};

// nullopt when it is out of the picture, or nothing of the line is seen.
std::optional<LineEnd> line_end(const cv::Mat& luma,
                                const CameraModel& camera,
                                const SurfaceLine& line,
                                bool at_low,
                                const BeyondOptions& options) {
  const auto at = camera.project(line.middle_m(at_low ? 0 : 1));
  const auto begin = far_in_view(camera, line, at_low);
  if (!at || !begin || *at == *begin) return std::nullopt;
  LineEnd end{line, at_low, *at, *begin, (*at - *begin).norm(), {}};
  const double before = contrast_before(luma, camera, line, at_low, end.search);
  if (before <= 0) return std::nullopt;
  end.search.least_contrast =
      std::max(end.search.least_contrast, options.faint * before);
  return end;
}

// Whether the line goes on at once; nullopt when the picture does not say.
std::optional<bool> goes_on(const cv::Mat& luma,
                            const CameraModel& camera,
                            const LineEnd& end,
                            const BeyondOptions& options) {
  const auto bar = predict_bar(camera, end.line, end.at_low ? 0 : 1);
  if (!bar) return std::nullopt;
  // Clear of the crossing line, whose corner is no continuation.
  const double skip_px = 4 + 2 * bar->width_px + end.search.smooth_px;
  const double look_px =
      skip_px + std::max(options.least_look_px, options.look * end.length_px);
  int looked = 0, found = 0;
  double next_px = skip_px;
  constexpr double kStep = 2e-3, kFarthest = 1.5;  // of the line's length
  for (double beyond = 0; beyond < kFarthest; beyond += kStep) {
    const double along = end.along(beyond);
    const auto here = camera.project(end.line.middle_m(along));
    if (!here || (*here - end.at_px).norm() > look_px) break;
    if ((*here - end.at_px).norm() < next_px) continue;
    next_px = (*here - end.at_px).norm() + options.spacing_px;
    if (!camera.in_picture(*here, kCutMargin_px)) continue;
    ++looked;
    found += cut_line_at(luma, camera, end.line, along, end.search).has_value();
  }
  if (looked < options.least_cuts) return std::nullopt;
  return found >= options.least_share * looked;
}

// Whether it is part of a bar that goes on, behind a net or not.
bool part_of_longer(const LineEnd& end,
                    const std::vector<BrightBar>& bars,
                    const BeyondOptions& options) {
  const Eigen::Vector2d along = (end.at_px - end.begin_px) / end.length_px;
  const auto off = [&](const BrightBar& bar, const Eigen::Vector2d& p) {
    const Eigen::Vector2d d = bar.direction(), r = p - bar.from_px;
    return std::abs(d.x() * r.y() - d.y() * r.x());
  };
  const double off_px = 2 + options.bar_off * end.length_px;
  return std::any_of(bars.begin(), bars.end(), [&](const BrightBar& bar) {
    if (off(bar, end.at_px) > off_px || off(bar, end.begin_px) > off_px)
      return false;
    double first = along.dot(bar.from_px - end.at_px);
    double last = along.dot(bar.to_px - end.at_px);
    if (first > last) std::swap(first, last);
    const double before = std::min(end.length_px, -first);
    return before >= options.bar_before * end.length_px &&
           last >= options.bar_beyond * end.length_px;
  });
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
  require_in_range(bar_beyond, 0.05, 10, "bar_beyond");
  require_in_range(bar_before, 0.05, 1, "bar_before");
  require_in_range(bar_off, 0, 0.2, "bar_off");
}

std::string lines_beyond_border(const cv::Mat& luma,
                                const CameraModel& camera,
                                const std::vector<SurfaceLine>& lines,
                                const std::vector<BrightBar>& bars,
                                const BeyondOptions& options) {
  options.check();
  for (const Side& side : kSides) {
    int go_on = 0, end_there = 0;
    for (const SurfaceLine& line : lines) {
      if (line.net || line.along_x != side.along_x) continue;
      const auto end = line_end(luma, camera, line, side.at_low, options);
      if (!end) continue;
      const auto at_once = goes_on(luma, camera, *end, options);
      if (!at_once) continue;
      const bool beyond = *at_once || part_of_longer(*end, bars, options);
      ++(beyond ? go_on : end_there);
    }
    if (go_on >= 2 && go_on > end_there) {
      return std::string("what would be ") + side.words +
             " is not where the table ends: the lines go on beyond it";
    }
  }
  return {};
}

}  // namespace evenfeed
