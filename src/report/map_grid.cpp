// SPDX-License-Identifier: MIT
#include "report/map_grid.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

double round_length(double wanted_mm) {
  const double power = std::pow(10, std::floor(std::log10(wanted_mm)));
  const double digit = wanted_mm / power;
  return power * (digit < 2 ? 1 : digit < 5 ? 2 : 5);
}

void draw_grid(const View& view, const AxisNames& names, SvgCanvas& canvas) {
  const double step_mm = round_length(view.size_mm().x() / 6);
  const double px_mm = 1 / canvas.px_per_mm();
  const Eigen::Vector2d& low = view.low_mm;
  const Eigen::Vector2d& high = view.high_mm;
  constexpr double kAxisName_px = 200;
  constexpr double kRoomForFour_px = 130;
  const auto crowded = [&](double x_mm) {
    return step_mm < kRoomForFour_px * px_mm &&
           std::lround(x_mm / step_mm) % 2 != 0;
  };
  for (double x = std::ceil(low.x() / step_mm) * step_mm; x < high.x();
       x += step_mm) {
    canvas.line({x, low.y()}, {x, high.y()}, "grid");
    // There stands the axis' name; on a telephone letters are twice as large.
    if (x > high.x() - kAxisName_px * px_mm || crowded(x)) continue;
    canvas.label({x + 4 * px_mm, low.y() + 6 * px_mm},
                 fmt::format("{:.0f}", x),
                 "note",
                 "start");
  }
  for (double y = std::ceil(low.y() / step_mm) * step_mm; y < high.y();
       y += step_mm) {
    canvas.line({low.x(), y}, {high.x(), y}, "grid");
    if (y > high.y() - 80 * px_mm || y < low.y() + 40 * px_mm) continue;
    canvas.label({low.x() + 4 * px_mm, y + 5 * px_mm},
                 fmt::format("{:.0f}", y + 0.0),
                 "note",
                 "start");
  }
  canvas.label(
      {high.x() - 6 * px_mm, low.y() + 6 * px_mm}, names.along, "note", "end");
  canvas.label(
      {low.x() + 4 * px_mm, high.y() - 34 * px_mm}, names.up, "note", "start");
}

}  // namespace evenfeed
