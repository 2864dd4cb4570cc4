// SPDX-License-Identifier: MIT
// Millimetres on a drawing that is to scale: lines at round places, with their
// values.
#pragma once

#include "report/svg_canvas.h"

#include <string_view>

namespace evenfeed {

struct AxisNames {
  std::string_view along;
  std::string_view up;
};

/// The round length (1, 2 or 5 times a power of ten) not above `wanted_mm`.
[[nodiscard]] double round_length(double wanted_mm);

/// Lines at round coordinates with their values at the left and lower edge.
void draw_grid(const View& view, const AxisNames& names, SvgCanvas& canvas);

}  // namespace evenfeed
