// SPDX-License-Identifier: MIT
#include "report/plot_frame.h"

#include "base/check.h"
#include "report/chart_svg.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Baselines of the numbers and of the name, below the field.
constexpr double kNumbers = 18, kName = 38;

}  // namespace

void Span::take(double value) {
  if (!std::isfinite(value)) return;
  low = std::min(low, value);
  high = std::max(high, value);
}

Span Span::widened(double share) const {
  if (!known()) return {0, 1};
  const double room = low < high ? share * (high - low) : 1;
  return {low - room, high + room};
}

PlotFrame::PlotFrame(const Span& x,
                     const Span& y,
                     const Eigen::Vector2d& low,
                     const Eigen::Vector2d& high)
    : x_(x), y_(y), low_(low), high_(high) {
  require(x.low < x.high && y.low < y.high, "a field has an area");
}

Eigen::Vector2d PlotFrame::at(double x, double y) const {
  return {
      low_.x() + (x - x_.low) / (x_.high - x_.low) * (high_.x() - low_.x()),
      low_.y() + (y - y_.low) / (y_.high - y_.low) * (high_.y() - low_.y())};
}

void PlotFrame::upright(SvgCanvas& canvas,
                        double x,
                        std::string_view style_class) const {
  const double place = at(x, y_.low).x();
  canvas.line({place, low_.y()}, {place, high_.y()}, style_class);
}

void PlotFrame::x_axis(SvgCanvas& canvas, std::string_view name) const {
  for (const double tick : axis_ticks(x_.low, x_.high, 5)) {
    upright(canvas, tick, "rule");
    canvas.label({at(tick, y_.low).x(), low_.y() - kNumbers},
                 fmt::format("{:g}", tick),
                 "note");
  }
  canvas.label({(low_.x() + high_.x()) / 2, low_.y() - kName}, name, "note");
}

void PlotFrame::y_axis(SvgCanvas& canvas, std::string_view unit) const {
  canvas.label({low_.x() - 6, high_.y() + 8}, unit, "note", "end");
  for (const double tick : axis_ticks(y_.low, y_.high, 5)) {
    const double place = at(x_.low, tick).y();
    canvas.line({low_.x(), place}, {high_.x(), place}, "rule");
    canvas.label(
        {low_.x() - 6, place - 5}, fmt::format("{:g}", tick), "note", "end");
  }
}

}  // namespace evenfeed
