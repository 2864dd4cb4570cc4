// SPDX-License-Identifier: MIT
#include "report/landing_map.h"

#include "base/units.h"
#include "quality/words.h"
#include "report/html.h"
#include "report/map_grid.h"
#include "report/picture_section.h"
#include "report/svg_canvas.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kShare = 0.95;
constexpr int kMostNumbers = 20;  // more numbers than this would overlap

struct Look {
  Mark mark = Mark::kSquare;
  std::string style;
  std::string word;
};

Look dot_look(const std::string& verdict) {
  if (verdict == "keep") return {Mark::kCircle, "keep", "keep"};
  if (verdict == "review") return {Mark::kTriangle, "review", "review"};
  if (verdict == "discard") return {Mark::kCross, "discard", "discard"};
  return {Mark::kSquare, "unjudged", "not judged"};
}

std::optional<Eigen::Vector2d> landing_mm(const Feed& feed) {
  const Eigen::Vector2d at(feed[Characteristic::kX].value,
                           feed[Characteristic::kY].value);
  if (!at.allFinite()) return std::nullopt;
  return at;
}

// Without a profile the landings alone say how large the drawing is.
View landings_view(const ReportInput& input) {
  std::optional<View> view;
  for (const JudgedFeed& one : input.feeds) {
    const auto at = landing_mm(one.feed);
    if (!at) continue;
    if (!view) view = View{*at, *at};
    view->include(*at, 200);
  }
  return view.value_or(View{{-1000, -500}, {1000, 500}});
}

View surface_view(const Surface& surface) {
  const Eigen::Vector2d half =
      plan_mm({surface.length_m / 2, surface.width_m / 2});
  return {-half, half};
}

// Landings up to a surface's length beyond its edge still belong on the map.
View drawable(const ReportInput& input) {
  if (!input.surface) return landings_view(input);
  View view = surface_view(*input.surface);
  const Eigen::Vector2d reach = view.size_mm().cwiseMax(view.size_mm().x());
  view.low_mm -= reach;
  view.high_mm += reach;
  return view;
}

void include_landings(const ReportInput& input, double margin_mm, View& view) {
  const View limit = drawable(input);
  for (const JudgedFeed& one : input.feeds) {
    const auto at = landing_mm(one.feed);
    if (at && limit.contains(*at)) view.include(*at, margin_mm);
  }
}

View whole_view(const ReportInput& input) {
  if (!input.surface) return landings_view(input);
  View view = surface_view(*input.surface);
  const double margin_mm = 0.08 * view.size_mm().x();
  view.low_mm -= Eigen::Vector2d(margin_mm, margin_mm);
  view.high_mm += Eigen::Vector2d(margin_mm, margin_mm);
  const Net& net = input.surface->net;
  if (net.present) {
    view.include(plan_mm({net.x_m, -net.half_width_m}), margin_mm / 4);
    view.include(plan_mm({net.x_m, net.half_width_m}), margin_mm / 4);
  }
  include_landings(input, margin_mm / 2, view);
  return view;
}

// Grown about its middle to at least `size_mm`.
void grow(const Eigen::Vector2d& size_mm, View& view) {
  const Eigen::Vector2d lack = (size_mm - view.size_mm()).cwiseMax(0.0) / 2;
  view.low_mm -= lack;
  view.high_mm += lack;
}

// Around the landings; the receiving half when nothing landed.
View close_view(const ReportInput& input) {
  const View limit = drawable(input);
  std::optional<View> view;
  double across_mm = 400;
  if (input.surface) {
    const View half = surface_view(*input.surface);
    across_mm = half.size_mm().x() / 5;
    view = View{{0, half.low_mm.y()}, half.high_mm};
  }
  bool first = true;
  for (const JudgedFeed& one : input.feeds) {
    const auto at = landing_mm(one.feed);
    if (!at || !limit.contains(*at)) continue;
    if (first) view = View{*at, *at};
    first = false;
    view->include(*at, 0.1 * across_mm);
  }
  if (!view) return landings_view(input);
  grow({across_mm, 0.4 * across_mm}, *view);
  const Eigen::Vector2d size = view->size_mm();
  grow({1.6 * size.y(), 0.42 * size.x()}, *view);
  return *view;
}

void draw_surface(const ReportInput& input, SvgCanvas& canvas) {
  if (!input.surface) return;
  const Surface& surface = *input.surface;
  const View edge = surface_view(surface);
  canvas.rectangle(edge.low_mm, edge.high_mm, "surface");
  for (const PaintedLine& line : surface.lines) {
    canvas.rectangle(plan_mm(line.low_m), plan_mm(line.high_m), "painted");
  }
  if (input.landing_zone) {
    const LandingZone& zone = *input.landing_zone;
    canvas.rectangle(plan_mm(zone.low_m), plan_mm(zone.high_m), "zone");
  }
  if (surface.net.present) {
    const double x_mm = mm_from_m(surface.net.x_m);
    const double half_mm = mm_from_m(surface.net.half_width_m);
    canvas.line({x_mm, -half_mm}, {x_mm, half_mm}, "net");
  }
}

std::string mark_title(const JudgedFeed& one, const Look& look) {
  const Feed& feed = one.feed;
  const Measured& x = feed[Characteristic::kX];
  const Measured& y = feed[Characteristic::kY];
  return fmt::format("Feed {}: {}; x {} mm, y {} mm{}",
                     feed.number,
                     look.word,
                     with_uncertainty(x.value, x.sigma, shown_decimals("x_mm")),
                     with_uncertainty(y.value, y.sigma, shown_decimals("y_mm")),
                     feed.status == FeedStatus::kExtrapolated
                         ? " (computed: no bounce seen)"
                         : "");
}

void draw_landings(const ReportInput& input,
                   double radius_px,
                   SvgCanvas& canvas) {
  const View limit = drawable(input);
  for (const JudgedFeed& one : input.feeds) {
    const auto at = landing_mm(one.feed);
    if (!at || !limit.contains(*at)) continue;
    const Look look = dot_look(one.verdict);
    const bool computed = one.feed.status == FeedStatus::kExtrapolated;
    const std::string picture = picture_address(input, one.feed.number);
    if (!picture.empty()) canvas.link(picture);
    canvas.mark(look.mark,
                *at,
                radius_px,
                "dot " + look.style + (computed ? " computed" : ""),
                mark_title(one, look));
    if (!picture.empty()) canvas.unlink();
  }
}

// Numbers beside the marks that want looking at.
void draw_numbers(const ReportInput& input,
                  double radius_px,
                  SvgCanvas& canvas) {
  if (!landings_numbered(input)) return;
  const View limit = drawable(input);
  const double step_mm = radius_px / canvas.px_per_mm();
  for (const JudgedFeed& one : input.feeds) {
    if (one.verdict != "review" && one.verdict != "discard") continue;
    const auto at = landing_mm(one.feed);
    if (!at || !limit.contains(*at)) continue;
    canvas.label(*at + Eigen::Vector2d(1.7, -0.9) * step_mm,
                 fmt::format("{}", one.feed.number),
                 "number",
                 "start");
  }
}

// A bar of a round length, about an eighth of the drawing.
void draw_scale(const View& view, SvgCanvas& canvas) {
  const double length_mm = round_length(view.size_mm().x() / 8);
  const double px_mm = 1 / canvas.px_per_mm();
  const Eigen::Vector2d start =
      view.low_mm + Eigen::Vector2d(16 * px_mm, 14 * px_mm);
  canvas.line(start, start + Eigen::Vector2d(length_mm, 0), "scale");
  canvas.label(start + Eigen::Vector2d(length_mm + 8 * px_mm, -5 * px_mm),
               fmt::format("{} mm", length_mm),
               "note",
               "start");
}

std::string described(const ReportInput& input, std::string_view what) {
  int shown = 0;
  for (const JudgedFeed& one : input.feeds)
    shown += landing_mm(one.feed) ? 1 : 0;
  return fmt::format(
      "{} with {} landings; the table of feeds below has the "
      "same values",
      what,
      shown - landings_off_map(input));
}

}  // namespace

std::optional<Ellipse> baseline_ellipse(const ReportBaseline& baseline) {
  if (baseline.provisional) return std::nullopt;
  const auto value = [](const std::map<std::string, double>& from,
                        const char* name) {
    const auto found = from.find(name);
    return found == from.end() ? kNotKnown : found->second;
  };
  const double sd_x = value(baseline.sd, "x_mm");
  const double sd_y = value(baseline.sd, "y_mm");
  double rho = 0;
  for (const auto& pair :
       {std::pair("x_mm", "y_mm"), std::pair("y_mm", "x_mm")}) {
    const auto found = baseline.correlation.find(pair);
    if (found != baseline.correlation.end()) rho = found->second;
  }
  Eigen::Matrix2d covariance;
  covariance << sd_x * sd_x, rho * sd_x * sd_y, rho * sd_x * sd_y, sd_y * sd_y;
  const double k2 = baseline.n >= 4 ? prediction_factor(kShare, baseline.n)
                                    : chi2_two_quantile(kShare);
  return covariance_ellipse(
      {value(baseline.mean, "x_mm"), value(baseline.mean, "y_mm")},
      covariance,
      k2);
}

std::optional<Ellipse> landing_ellipse(const Feed& feed) {
  const auto at = landing_mm(feed);
  if (!at) return std::nullopt;
  const double sx = feed[Characteristic::kX].sigma;
  const double sy = feed[Characteristic::kY].sigma;
  const double rho = std::isfinite(feed.rho_xy) ? feed.rho_xy : 0;
  Eigen::Matrix2d covariance;
  covariance << sx * sx, rho * sx * sy, rho * sx * sy, sy * sy;
  return covariance_ellipse(*at, covariance, chi2_two_quantile(kShare));
}

bool landings_numbered(const ReportInput& input) {
  const auto wanted = std::count_if(
      input.feeds.begin(), input.feeds.end(), [](const JudgedFeed& one) {
        return one.verdict == "review" || one.verdict == "discard";
      });
  return wanted > 0 && wanted <= kMostNumbers;
}

bool landing_zone_on_map(const ReportInput& input) {
  if (!input.landing_zone) return false;
  const Eigen::Vector2d low = plan_mm(input.landing_zone->low_m);
  const Eigen::Vector2d high = plan_mm(input.landing_zone->high_m);
  const View view = close_view(input);
  const bool beside = (low.array() >= view.high_mm.array()).any() ||
                      (high.array() <= view.low_mm.array()).any();
  const bool around = (low.array() < view.low_mm.array()).all() &&
                      (high.array() > view.high_mm.array()).all();
  return !beside && !around;
}

int landings_off_map(const ReportInput& input) {
  const View limit = drawable(input);
  return static_cast<int>(std::count_if(
      input.feeds.begin(), input.feeds.end(), [&](const JudgedFeed& one) {
        const auto at = landing_mm(one.feed);
        return at && !limit.contains(*at);
      }));
}

std::string whole_map(const ReportInput& input) {
  const View view = whole_view(input);
  SvgCanvas canvas(view, kMapWidth_px);
  draw_surface(input, canvas);
  draw_landings(input, 5, canvas);
  const View closer = close_view(input);
  canvas.rectangle(closer.low_mm, closer.high_mm, "frame");
  draw_scale(view, canvas);
  const double up_mm = 14 / canvas.px_per_mm();
  canvas.label({view.low_mm.x() + up_mm, view.high_mm.y() - 2 * up_mm},
               "launcher's end",
               "note",
               "start");
  canvas.label({view.high_mm.x() - up_mm, view.high_mm.y() - 2 * up_mm},
               "receiving end",
               "note",
               "end");
  return canvas.finish(described(input, "The whole surface from above"));
}

std::string close_up_map(const ReportInput& input) {
  const View view = close_view(input);
  SvgCanvas canvas(view, kMapWidth_px);
  draw_surface(input, canvas);
  draw_grid(view, {"x, mm", "y, mm"}, canvas);
  const View limit = drawable(input);
  for (const JudgedFeed& one : input.feeds) {
    const auto ellipse = landing_ellipse(one.feed);
    if (ellipse && limit.contains(ellipse->centre)) {
      canvas.ellipse(*ellipse, "measured");
    }
  }
  if (const auto ellipse = baseline_ellipse(input.baseline)) {
    canvas.ellipse(*ellipse, "baseline");
  }
  draw_landings(input, 8, canvas);
  draw_numbers(input, 8, canvas);
  return canvas.finish(described(input, "The landings from above"));
}

std::string map_legend() {
  std::string out = "<ul class=\"legend\">\n";
  for (const char* verdict : {"keep", "review", "discard", ""}) {
    const Look look = dot_look(verdict);
    SvgCanvas canvas({{0, 0}, {24, 24}}, 24);
    canvas.mark(look.mark, {12, 12}, 7, "legend-mark " + look.style, look.word);
    out += fmt::format("<li>{}{}</li>\n", canvas.finish(look.word), look.word);
  }
  return out +
         "<li><i class=\"hollow\"></i>hollow: computed, no bounce seen</li>\n"
         "<li><i class=\"ring\"></i>95 % of the stable process</li>\n"
         "<li><i class=\"thin\"></i>95 % of one measurement</li>\n</ul>\n";
}

}  // namespace evenfeed
