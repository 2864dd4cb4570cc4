// SPDX-License-Identifier: MIT
#include "report/chart_svg.h"

#include "base/csv.h"
#include "quality/words.h"
#include "report/chart_data.h"
#include "report/picture_section.h"
#include "report/svg_canvas.h"
#include "report/words.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Picture units, y up. Letters of 15 units stay legible where the picture is
// drawn three quarters as large.
constexpr double kWidth = 480, kHeight = 270;
constexpr double kLeft = 64, kRight = 470, kBottom = 44, kTop = 244;
constexpr double kPoint = 4.5;
constexpr double kLetter = 9;  // of 15 units, on the average
constexpr double kAside = 5;

// From the chart's numbers to picture units.
class Plot {
 public:
  Plot(const ChartSeries& chart) : feeds_(chart.feeds.size()) {
    const auto take = [&](double value) {
      if (!std::isfinite(value)) return;
      low_ = std::min(low_, value);
      high_ = std::max(high_, value);
    };
    for (const double value : chart.values) take(value);
    for (const double value : chart.lower) take(value);
    for (const double value : chart.upper) take(value);
    take(chart.centre);
    known_ = low_ <= high_;
    if (!known_) low_ = 0, high_ = 1;
    const double room = low_ < high_ ? 0.06 * (high_ - low_) : 1;
    const bool from_nothing = low_ >= 0 && low_ < 0.3 * high_;
    low_ = from_nothing ? 0 : low_ - room;
    high_ += room;
  }
  bool known() const { return known_; }
  double low() const { return low_; }
  double high() const { return high_; }
  double step() const {
    return (kRight - kLeft) /
           static_cast<double>(std::max<std::size_t>(feeds_, 1));
  }
  double x(std::size_t i) const {
    return kLeft + (static_cast<double>(i) + 0.5) * step();
  }
  double y(double value) const {
    return kBottom + (value - low_) / (high_ - low_) * (kTop - kBottom);
  }

 private:
  std::size_t feeds_;
  bool known_ = false;
  double low_ = std::numeric_limits<double>::infinity();
  double high_ = -std::numeric_limits<double>::infinity();
};

using FeedsByNumber = std::map<int, const JudgedFeed*>;

FeedsByNumber by_number(const ReportInput& input) {
  FeedsByNumber feeds;
  for (const JudgedFeed& one : input.feeds) feeds[one.feed.number] = &one;
  return feeds;
}

std::string phase_of(const FeedsByNumber& feeds, int number) {
  const auto found = feeds.find(number);
  return found == feeds.end() ? "" : found->second->phase;
}

// Bands behind the points; their names stand above the plot, where no point is.
void draw_phases(const ChartSeries& chart,
                 const FeedsByNumber& feeds,
                 const Plot& plot,
                 SvgCanvas& canvas) {
  std::size_t start = 0;
  for (std::size_t i = 1; i <= chart.feeds.size(); ++i) {
    const std::string phase = phase_of(feeds, chart.feeds[start]);
    if (i < chart.feeds.size() && phase_of(feeds, chart.feeds[i]) == phase) {
      continue;
    }
    const double left = plot.x(start) - plot.step() / 2;
    const double right = plot.x(i - 1) + plot.step() / 2;
    if (!phase.empty()) {
      canvas.rectangle({left, kBottom}, {right, kTop}, "phase-" + phase);
      canvas.line({left, kBottom}, {left, kHeight - 6}, "phase-edge");
      const double letters = kLetter * static_cast<double>(phase.size());
      if (right - left > letters + 2 * kAside) {
        canvas.label({left + kAside, kTop + 8}, phase, "note", "start");
      }
    }
    start = i;
  }
}

void draw_axes(const ChartSeries& chart, const Plot& plot, SvgCanvas& canvas) {
  for (const double tick : axis_ticks(plot.low(), plot.high(), 5)) {
    canvas.line({kLeft, plot.y(tick)}, {kRight, plot.y(tick)}, "rule");
    canvas.label({kLeft - 6, plot.y(tick) - 5},
                 fmt::format("{:g}", tick),
                 "note",
                 "end");
  }
  canvas.label({kLeft - 6, kTop + 8}, chart_unit(chart), "note", "end");
  if (!chart.feeds.empty()) {
    const std::size_t every =
        std::max<std::size_t>(1, (chart.feeds.size() + 7) / 8);
    for (std::size_t i = 0; i < chart.feeds.size(); i += every) {
      canvas.label(
          {plot.x(i), kBottom - 18}, fmt::format("{}", chart.feeds[i]), "note");
    }
  }
  canvas.label({(kLeft + kRight) / 2, 6}, "feed", "note");
}

// A limit may be another at each feed: a step from feed to feed.
void draw_line(const std::vector<double>& values,
               const Plot& plot,
               std::string_view style,
               SvgCanvas& canvas) {
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    // Runs of one value are one line.
    std::size_t last = i;
    while (last + 1 < values.size() && values[last + 1] == values[i]) ++last;
    const double left = plot.x(i) - plot.step() / 2;
    const double right = plot.x(last) + plot.step() / 2;
    canvas.line({left, plot.y(values[i])}, {right, plot.y(values[i])}, style);
    if (last + 1 < values.size() && std::isfinite(values[last + 1])) {
      canvas.line(
          {right, plot.y(values[i])}, {right, plot.y(values[last + 1])}, style);
    }
    i = last;
  }
}

std::vector<double> towards(const ChartSeries& chart,
                            const std::vector<double>& limits) {
  std::vector<double> warning;
  for (const double limit : limits) {
    warning.push_back(chart.centre + (limit - chart.centre) * 2 / 3);
  }
  return warning;
}

void draw_limits(const ChartSeries& chart,
                 const Plot& plot,
                 SvgCanvas& canvas) {
  draw_line(std::vector<double>(chart.feeds.size(), chart.centre),
            plot,
            "centre-line",
            canvas);
  draw_line(chart.upper, plot, "limit-line", canvas);
  draw_line(chart.lower, plot, "limit-line", canvas);
  const bool both = std::any_of(chart.lower.begin(),
                                chart.lower.end(),
                                [](double one) { return std::isfinite(one); });
  if (!both) return;
  draw_line(towards(chart, chart.upper), plot, "warning-line", canvas);
  draw_line(towards(chart, chart.lower), plot, "warning-line", canvas);
}

struct PointLook {
  Mark mark;
  const char* style;
};

PointLook look_of(const std::string& verdict) {
  if (verdict == "keep") return {Mark::kCircle, "point keep"};
  if (verdict == "review") return {Mark::kTriangle, "point review"};
  if (verdict == "discard") return {Mark::kCross, "point discard"};
  return {Mark::kSquare, "point unjudged"};
}

void draw_points(const ReportInput& input,
                 const ChartSeries& chart,
                 const FeedsByNumber& feeds,
                 const Plot& plot,
                 SvgCanvas& canvas) {
  const int decimals =
      chart.characteristic.empty() ? 2 : shown_decimals(chart.characteristic);
  // A value that is not known ends the line.
  std::vector<Eigen::Vector2d> trace;
  for (std::size_t i = 0; i < chart.values.size(); ++i) {
    if (std::isfinite(chart.values[i])) {
      trace.emplace_back(plot.x(i), plot.y(chart.values[i]));
      continue;
    }
    canvas.polyline(trace, "trace");
    trace.clear();
  }
  canvas.polyline(trace, "trace");
  for (std::size_t i = 0; i < chart.values.size(); ++i) {
    if (!std::isfinite(chart.values[i])) continue;
    const auto found = feeds.find(chart.feeds[i]);
    const std::string verdict =
        found == feeds.end() ? "" : found->second->verdict;
    const PointLook look = look_of(verdict);
    const Eigen::Vector2d at(plot.x(i), plot.y(chart.values[i]));
    const std::string title =
        fmt::format("feed {}{}{}: {}",
                    chart.feeds[i],
                    verdict.empty() ? "" : ", ",
                    verdict,
                    csv_number(chart.values[i], decimals));
    const std::string picture = picture_address(input, chart.feeds[i]);
    if (!picture.empty()) canvas.link(picture, false);
    if (beyond_limits(chart, i)) {
      canvas.mark(Mark::kCircle, at, 2 * kPoint, "beyond", title);
    }
    canvas.mark(look.mark, at, kPoint, look.style, title);
    if (!picture.empty()) canvas.unlink();
  }
}

}  // namespace

std::vector<double> axis_ticks(double low, double high, int count) {
  if (!(low < high) || !std::isfinite(high - low) || count < 1) return {};
  const double raw = (high - low) / count;
  const double power = std::pow(10, std::floor(std::log10(raw)));
  double step = 10 * power;
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= raw) {
      step = factor * power;
      break;
    }
  }
  std::vector<double> ticks;
  for (double k = std::ceil(low / step); k * step <= high; ++k) {
    // 0.1 * 3 is not 0.3: the power of ten is divided by where it is below 1.
    // Nor is -0 a number for people, which adding 0 mends.
    ticks.push_back(
        0.0 + (power < 1 ? k * std::round(step / power) / std::round(1 / power)
                         : k * step));
  }
  return ticks;
}

std::string chart_svg(const ReportInput& input, const ChartSeries& chart) {
  SvgCanvas canvas({{0, 0}, {kWidth, kHeight}}, kWidth);
  const Plot plot(chart);
  const FeedsByNumber feeds = by_number(input);
  if (plot.known()) {
    draw_phases(chart, feeds, plot, canvas);
    draw_axes(chart, plot, canvas);
    draw_limits(chart, plot, canvas);
    draw_points(input, chart, feeds, plot, canvas);
  }
  return canvas.finish(chart_description(chart));
}

}  // namespace evenfeed
