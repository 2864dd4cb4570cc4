// SPDX-License-Identifier: MIT
#include "calibration/table_interior.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace evenfeed {
namespace {

constexpr double kStep_m = 0.01;
constexpr double kWidest_m = 0.06;    // of a bar that counts
constexpr double kClear_m = 0.05;     // kept from painted lines
constexpr double kBehindNet_m = 0.3;  // the net may hide so much
constexpr double kFaint = 0.4;        // of the lines' contrast: too faint

bool on_paint(const Surface& surface, double x, double y) {
  return std::any_of(
      surface.lines.begin(), surface.lines.end(), [&](const PaintedLine& line) {
        return x > line.low_m.x() - kClear_m &&
               x < line.high_m.x() + kClear_m &&
               y > line.low_m.y() - kClear_m && y < line.high_m.y() + kClear_m;
      });
}

// Grey along the table at one y; -1 where there is nothing to judge.
std::vector<double> field_profile(const cv::Mat& luma,
                                  const CameraModel& camera,
                                  const Surface& surface,
                                  double y) {
  std::vector<double> grey;
  const double half = surface.length_m / 2;
  for (double x = -half; x <= half; x += kStep_m) {
    grey.push_back(-1);
    const bool net =
        surface.net.present && std::abs(x - surface.net.x_m) < kBehindNet_m;
    if (net || on_paint(surface, x, y)) continue;
    const auto p = camera.project({x, y, 0});
    if (!p || !camera.in_picture(*p, 1)) continue;
    grey.back() = luma.at<uchar>(static_cast<int>(std::lround(p->y())),
                                 static_cast<int>(std::lround(p->x())));
  }
  return grey;
}

// Bars brighter than what lies kWidest_m to both sides.
int count_bars(const std::vector<double>& grey, double least) {
  const int reach = static_cast<int>(std::lround(kWidest_m / kStep_m));
  int bars = 0;
  for (int i = reach; i + reach < static_cast<int>(grey.size()); ++i) {
    const double beside = std::max(grey[i - reach], grey[i + reach]);
    if (grey[i] < 0 || grey[i - reach] < 0 || grey[i + reach] < 0) continue;
    if (grey[i] - beside < least) continue;
    ++bars;
    i += reach;
  }
  return bars;
}

}  // namespace

int stray_lines_across(const cv::Mat& luma,
                       const CameraModel& camera,
                       const Surface& surface,
                       double line_contrast) {
  std::array<int, 4> counts{};
  int n = 0;
  for (const double part : {-0.35, -0.15, 0.15, 0.35}) {
    counts[n++] =
        count_bars(field_profile(luma, camera, surface, part * surface.width_m),
                   kFaint * line_contrast);
  }
  std::sort(counts.begin(), counts.end());
  return counts[2];
}

}  // namespace evenfeed
