// SPDX-License-Identifier: MIT
// The field of a plain chart: numbers to picture units, with rules, ticks and
// the names of its axes. Control charts, which have feeds in a row, draw their
// own (chart_svg.h).
#pragma once

#include "report/svg_canvas.h"

#include <limits>
#include <string_view>

#include <Eigen/Core>

namespace evenfeed {

/// Numbers that an axis has to show.
struct Span {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();

  /// What is not finite is not taken.
  void take(double value);
  bool known() const { return low <= high; }
  /// With room on both sides, a share of its length; 0 to 1 when nothing is
  /// known, 1 on either side when all is one number.
  Span widened(double share) const;
};

/// Charts of pages are so many picture units wide.
inline constexpr double kChartWidth = 480;

class PlotFrame {
 public:
  /// The field from `low` to `high` in picture units, y up. Both spans have a
  /// length.
  PlotFrame(const Span& x,
            const Span& y,
            const Eigen::Vector2d& low,
            const Eigen::Vector2d& high);
  Eigen::Vector2d at(double x, double y) const;
  bool shows_x(double x) const { return x_.low <= x && x <= x_.high; }
  /// Upright rules with their numbers below the field, and the axis' name.
  void x_axis(SvgCanvas& canvas, std::string_view name) const;
  /// Level rules with their numbers to the left of it, and above them the unit.
  void y_axis(SvgCanvas& canvas, std::string_view unit) const;
  /// Upright, over the whole field.
  void upright(SvgCanvas& canvas, double x, std::string_view style_class) const;

 private:
  Span x_, y_;
  Eigen::Vector2d low_, high_;
};

}  // namespace evenfeed
