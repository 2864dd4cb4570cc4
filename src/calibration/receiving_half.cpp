// SPDX-License-Identifier: MIT
#include "calibration/receiving_half.h"

#include <algorithm>

namespace evenfeed {
namespace {

constexpr double kAtNet_m = 0.01;  // of what is said to be at it

// Its part at larger x than `x_m`.
SurfaceLine beyond(SurfaceLine line, double x_m) {
  const double from_m = line.low_from_m.x();
  const double run_m = line.low_to_m.x() - from_m;
  const double along = std::clamp((x_m - from_m) / run_m, 0.0, 1.0);
  line.low_from_m = line.low_m(along);
  line.high_from_m = line.high_m(along);
  return line;
}

}  // namespace

std::vector<SurfaceLine> receiving_half_lines(
    const std::vector<SurfaceLine>& lines, const Net& net) {
  std::vector<SurfaceLine> half;
  for (const SurfaceLine& line : lines) {
    if (!line.net && line.high_to_m.x() < net.x_m + kAtNet_m) continue;
    half.push_back(line.along_x ? beyond(line, net.x_m) : line);
  }
  return half;
}

bool on_receiving_half(const std::vector<MarkedPoint>& marks, const Net& net) {
  return net.present &&
         std::all_of(marks.begin(), marks.end(), [&](const auto& mark) {
           return mark.x_in_table_m.x() > net.x_m - kAtNet_m;
         });
}

}  // namespace evenfeed
