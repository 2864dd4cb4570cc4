// SPDX-License-Identifier: MIT
#include "calibration/surface_lines.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr double kSame_m = 1e-6;

SurfaceLine bar_of(const PaintedLine& paint, const Surface& surface) {
  const Eigen::Vector2d size = paint.high_m - paint.low_m;
  SurfaceLine line;
  line.name = paint.name;
  line.along_x = size.x() >= size.y();
  const Eigen::Vector3d low{paint.low_m.x(), paint.low_m.y(), 0};
  const Eigen::Vector3d high{paint.high_m.x(), paint.high_m.y(), 0};
  line.low_from_m = low;
  line.high_to_m = high;
  if (line.along_x) {
    line.low_to_m = {high.x(), low.y(), 0};
    line.high_from_m = {low.x(), high.y(), 0};
  } else {
    line.low_to_m = {low.x(), high.y(), 0};
    line.high_from_m = {high.x(), low.y(), 0};
  }
  const int across = line.along_x ? 1 : 0;
  const double half = (line.along_x ? surface.width_m : surface.length_m) / 2;
  line.on_border =
      low[across] < -half + kSame_m || high[across] > half - kSame_m;
  return line;
}

bool same_paint(const PaintedLine& a, const PaintedLine& b) {
  return (a.low_m - b.low_m).norm() < kSame_m &&
         (a.high_m - b.high_m).norm() < kSame_m;
}

}  // namespace

std::vector<SurfaceLine> painted_lines(const Surface& surface) {
  std::vector<SurfaceLine> lines;
  for (const PaintedLine& paint : surface.lines) {
    lines.push_back(bar_of(paint, surface));
  }
  return lines;
}

SurfaceLine net_tape(const Net& net,
                     double band_m,
                     double place_sd_m,
                     double eye_x_m) {
  constexpr double kPost_m = 0.04;  // posts and their clamps, left out
  constexpr double kThickness_m = 0.004;
  const double end = net.half_width_m - kPost_m;
  const double beyond = (eye_x_m > net.x_m ? -0.5 : 0.5) * kThickness_m;
  SurfaceLine tape;
  tape.name = "net_tape";
  tape.net = true;
  tape.low_only = true;
  tape.place_sd_m = place_sd_m;
  tape.low_from_m = {net.x_m + beyond, -end, net.height_m};
  tape.low_to_m = {net.x_m + beyond, end, net.height_m};
  tape.high_from_m = {net.x_m - beyond, -end, net.height_m - band_m};
  tape.high_to_m = {net.x_m - beyond, end, net.height_m - band_m};
  return tape;
}

std::vector<SurfaceLine> facing(std::vector<SurfaceLine> lines,
                                const Net& net,
                                double eye_x_m) {
  for (SurfaceLine& line : lines) {
    if (!line.net) continue;
    const double band_m = line.low_from_m.z() - line.high_from_m.z();
    line = net_tape(net, band_m, line.place_sd_m, eye_x_m);
  }
  return lines;
}

bool is_half_turn_symmetric(const Surface& surface) {
  if (surface.net.present && std::abs(surface.net.x_m) > kSame_m) return false;
  return std::all_of(
      surface.lines.begin(), surface.lines.end(), [&](const PaintedLine& a) {
        PaintedLine turned;
        turned.low_m = -a.high_m;
        turned.high_m = -a.low_m;
        return std::any_of(
            surface.lines.begin(),
            surface.lines.end(),
            [&](const PaintedLine& b) { return same_paint(turned, b); });
      });
}

}  // namespace evenfeed
