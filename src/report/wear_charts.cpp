// SPDX-License-Identifier: MIT
#include "report/wear_charts.h"

#include "base/counted.h"
#include "base/csv.h"
#include "base/date_time.h"
#include "report/plot_frame.h"
#include "wear/words.h"

#include <cmath>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kWearHeight = 290;
constexpr double kWearLeft = 64, kWearRight = 470, kWearBottom = 50,
                 kWearTop = 262;
constexpr double kSessionMark = 4.5;
constexpr double kServiceLetter = 8;  // of 15 units, on the average

double feeds_of(const TrendPoint& point) { return 1000 * point.kilofeeds; }

std::string unit_words(const MeasureInfo& about) {
  const std::string_view unit = about.level_unit;
  return unit.empty() ? std::string() : fmt::format(" ({})", unit);
}

// What is known of a point's neighbourhood, in the axis' numbers.
struct PointLevels {
  double value, low, high;  // with its own error
  double fitted = std::nan(""), lower = fitted, upper = fitted;
  bool beyond() const { return value > upper || value < lower; }
};

PointLevels levels_of(const MeasureWear& measure, std::size_t i) {
  const TrendPoint& point = measure.points[i];
  const double error = 2 * std::sqrt(point.variance);
  PointLevels levels{level_of(measure.id, point.value),
                     level_of(measure.id, point.value - error),
                     level_of(measure.id, point.value + error)};
  if (i < measure.trend.fitted.size()) {
    levels.fitted = level_of(measure.id, measure.trend.fitted[i]);
    levels.lower = level_of(measure.id, measure.trend.lower[i]);
    levels.upper = level_of(measure.id, measure.trend.upper[i]);
  }
  return levels;
}

PlotFrame frame_of(const WearResult& result, const MeasureWear& measure) {
  Span x, y;
  for (std::size_t i = 0; i < measure.points.size(); ++i) {
    const PointLevels levels = levels_of(measure, i);
    x.take(feeds_of(measure.points[i]));
    for (const double value :
         {levels.low, levels.high, levels.lower, levels.upper}) {
      y.take(value);
    }
  }
  for (const BandPoint& one : measure.forecast.band) {
    x.take(one.feeds);
    y.take(level_of(measure.id, one.low));
    y.take(level_of(measure.id, one.high));
  }
  for (const WearEvent& one : result.history.events) x.take(one.feeds_before);
  return {x.widened(0.02),
          y.widened(0.06),
          {kWearLeft, kWearBottom},
          {kWearRight, kWearTop}};
}

void draw_forecast(const MeasureWear& measure,
                   const PlotFrame& frame,
                   SvgCanvas& canvas) {
  std::vector<Eigen::Vector2d> edge, centre;
  const auto& band = measure.forecast.band;
  for (const BandPoint& one : band) {
    edge.push_back(frame.at(one.feeds, level_of(measure.id, one.high)));
    centre.push_back(frame.at(one.feeds, level_of(measure.id, one.centre)));
  }
  for (auto one = band.rbegin(); one != band.rend(); ++one) {
    edge.push_back(frame.at(one->feeds, level_of(measure.id, one->low)));
  }
  canvas.polyline(edge, "forecast");
  canvas.polyline(centre, "forecast-line");
}

// Names of services stand above the field, where they do not run into each
// other.
void draw_services(const WearHistory& history,
                   const PlotFrame& frame,
                   SvgCanvas& canvas) {
  double free_from = 0;
  for (const WearEvent& one : history.events) {
    frame.upright(canvas, one.feeds_before, "service");
    const std::string words(service_kind_words(one.kind));
    const double at = frame.at(one.feeds_before, 0).x();
    const double half = kServiceLetter * static_cast<double>(words.size()) / 2;
    const double left =
        std::min(std::max(at - half, kWearLeft), kChartWidth - 2 * half);
    if (left < free_from) continue;
    canvas.label({left, kWearTop + 10}, words, "note", "start");
    free_from = left + 2 * half + kServiceLetter;
  }
}

void draw_lines(const MeasureWear& measure,
                const PlotFrame& frame,
                SvgCanvas& canvas) {
  std::vector<Eigen::Vector2d> fitted, lower, upper;
  for (std::size_t i = 0; i < measure.trend.fitted.size(); ++i) {
    const PointLevels levels = levels_of(measure, i);
    const double x = feeds_of(measure.points[i]);
    fitted.push_back(frame.at(x, levels.fitted));
    lower.push_back(frame.at(x, levels.lower));
    upper.push_back(frame.at(x, levels.upper));
  }
  canvas.polyline(lower, "limit-line");
  canvas.polyline(upper, "limit-line");
  canvas.polyline(fitted, "centre-line");
}

void draw_sessions(const WearResult& result,
                   const MeasureWear& measure,
                   const PlotFrame& frame,
                   SvgCanvas& canvas) {
  const MeasureInfo& about = info(measure.id);
  for (std::size_t i = 0; i < measure.points.size(); ++i) {
    const PointLevels levels = levels_of(measure, i);
    const double x = feeds_of(measure.points[i]);
    canvas.line(frame.at(x, levels.low), frame.at(x, levels.high), "error-bar");
    const WearSession& session =
        result.history
            .sessions[static_cast<std::size_t>(measure.points[i].session)];
    const bool beyond = levels.beyond();
    canvas.mark(beyond ? Mark::kSquare : Mark::kCircle,
                frame.at(x, levels.value),
                kSessionMark,
                beyond ? "point discard" : "point keep",
                fmt::format("session {}, {}: {} {}",
                            session.id,
                            date_text(session.started_at),
                            csv_number(levels.value, about.decimals),
                            about.level_unit));
  }
}

}  // namespace

Drawing wear_drawing(const WearResult& result, const MeasureWear& measure) {
  const MeasureInfo& about = info(measure.id);
  SvgCanvas canvas({{0, 0}, {kChartWidth, kWearHeight}}, kChartWidth);
  const PlotFrame frame = frame_of(result, measure);
  draw_forecast(measure, frame, canvas);
  frame.x_axis(canvas, "feeds run");
  frame.y_axis(canvas, about.level_unit.empty() ? "no unit" : about.level_unit);
  draw_services(result.history, frame, canvas);
  draw_lines(measure, frame, canvas);
  draw_sessions(result, measure, frame, canvas);
  return {
      fmt::format("wear-{}", about.name),
      fmt::format("{}{}", about.words, unit_words(about)),
      fmt::format(
          "{} of launcher {}, each with the interval of its own error; "
          "solid: the trend; dashed: where a session set up anew may lie "
          "(3 sd); square: beyond it; shaded: the forecast; upright: "
          "services. {}.",
          counted(static_cast<std::int64_t>(measure.points.size()), "session"),
          result.history.launcher,
          measure.sentence),
      canvas.finish(measure.sentence),
      15 / kChartWidth};
}

std::vector<Drawing> wear_drawings(const WearResult& result) {
  std::vector<Drawing> all;
  for (const MeasureWear& one : result.measures) {
    if (!one.points.empty()) all.push_back(wear_drawing(result, one));
  }
  return all;
}

}  // namespace evenfeed
