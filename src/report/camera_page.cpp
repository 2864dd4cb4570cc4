// SPDX-License-Identifier: MIT
#include "report/camera_page.h"

#include "base/csv.h"
#include "base/units.h"
#include "report/advice.h"
#include "report/ellipse.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/svg_canvas.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The largest uncertainty is drawn this long.
constexpr double kDrawn_mm = 90;

std::string shown(double value, int decimals) {
  return std::isfinite(value) ? csv_number(value, decimals) : "–";
}

View view_of(const Surface& surface) {
  const Eigen::Vector2d half =
      plan_mm({surface.length_m / 2, surface.width_m / 2});
  View view{-half, half};
  view.include(-half, 60);
  view.include(half, 60);
  return view;
}

// Where bounces were looked at, with room for their numbers.
View zone_view(const CameraSurvey& survey, const Surface& surface) {
  if (survey.bounces.empty()) return view_of(surface);
  const Eigen::Vector2d first = plan_mm(survey.bounces.front().bounce_m);
  View view{first, first};
  for (const BouncePlace& place : survey.bounces) {
    view.include(plan_mm(place.bounce_m), 160);
  }
  return view;
}

void draw_surface(SvgCanvas& canvas, const Surface& surface) {
  const Eigen::Vector2d half =
      plan_mm({surface.length_m / 2, surface.width_m / 2});
  canvas.rectangle(-half, half, "surface");
  for (const PaintedLine& line : surface.lines) {
    canvas.rectangle(plan_mm(line.low_m), plan_mm(line.high_m), "painted");
  }
  if (surface.net.present) {
    const double x_mm = mm_from_m(surface.net.x_m);
    const double reach_mm =
        std::min(mm_from_m(surface.net.half_width_m), half.y() + 60);
    canvas.line({x_mm, -reach_mm}, {x_mm, reach_mm}, "net");
  }
}

// How many times the uncertainties are enlarged: 1, 2, 5, 10, ...
double enlargement(const CameraSurvey& survey) {
  double largest_mm = 0;
  for (const BouncePlace& place : survey.bounces) {
    if (std::isfinite(place.bound.x_m)) {
      largest_mm = std::max(
          {largest_mm, mm_from_m(place.bound.x_m), mm_from_m(place.bound.y_m)});
    }
  }
  double times = 1;
  for (const double step : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
    if (largest_mm * step <= kDrawn_mm) times = step;
  }
  return times;
}

std::string bounce_map(const CameraSurvey& survey,
                       const Surface& surface,
                       double times) {
  SvgCanvas canvas(zone_view(survey, surface), kMapWidth_px);
  draw_surface(canvas, surface);
  const double px_mm = 1 / canvas.px_per_mm();
  for (const BouncePlace& place : survey.bounces) {
    const CameraBound& bound = place.bound;
    const Eigen::Vector2d at_mm = plan_mm(place.bounce_m);
    const double shared = bound.rho_xy * bound.x_m * bound.y_m;
    Eigen::Matrix2d covariance;
    covariance << bound.x_m * bound.x_m, shared, shared, bound.y_m * bound.y_m;
    const auto ellipse =
        covariance_ellipse(at_mm, covariance * 1e6, times * times);
    if (ellipse) canvas.ellipse(*ellipse, "baseline");
    canvas.mark(Mark::kCircle, at_mm, 3, "dot keep", "bounce");
    // One above the other: side by side they run into their neighbours' on a
    // telephone.
    canvas.label(
        at_mm + Eigen::Vector2d(0, 26 * px_mm),
        ellipse ? shown(mm_from_m(bound.x_m), 1) : std::string("not seen"),
        "number");
    if (!ellipse) continue;
    canvas.label(at_mm - Eigen::Vector2d(0, 52 * px_mm),
                 shown(mm_from_m(bound.y_m), 1),
                 "number");
  }
  return canvas.finish(
      "The landing zone from above with the attainable uncertainty of the "
      "bounce place drawn as ellipses");
}

std::string place_map(const CameraSurveyOptions& options,
                      const CameraSurvey& survey,
                      const Surface& surface) {
  View view = view_of(surface);
  double best = std::numeric_limits<double>::infinity();
  for (const CameraPlace& place : survey.elsewhere) {
    view.include(plan_mm(place.eye_m.head<2>()), 180);
    best = std::min(best, place.bound.x_m);
  }
  const Eigen::Vector3d eye_m = options.camera.eye_in_table_m();
  view.include(plan_mm(eye_m.head<2>()), 180);
  SvgCanvas canvas(view, kMapWidth_px);
  draw_surface(canvas, surface);
  for (const CameraPlace& place : survey.elsewhere) {
    const double x_m = place.bound.x_m;
    const bool good = x_m <= 2 * best;
    const bool fair = x_m <= 5 * best;
    canvas.mark(good   ? Mark::kCircle
                : fair ? Mark::kTriangle
                       : Mark::kCross,
                plan_mm(place.eye_m.head<2>()),
                9,
                good   ? "dot keep"
                : fair ? "dot review"
                       : "dot discard",
                fmt::format("{} mm along, {} mm across, {} ms",
                            shown(mm_from_m(x_m), 1),
                            shown(mm_from_m(place.bound.y_m), 1),
                            shown(ms_from_s(place.bound.t_s), 2)));
    canvas.label(plan_mm(place.eye_m.head<2>()) + Eigen::Vector2d(0, 55),
                 shown(mm_from_m(x_m), 1),
                 "number");
  }
  canvas.mark(Mark::kSquare,
              plan_mm(eye_m.head<2>()),
              12,
              "computed dot unjudged",
              "the planned place");
  return canvas.finish(
      "Places for the camera at the same height, each with the attainable "
      "uncertainty along the table");
}

std::string row(std::string_view what, const std::string& value) {
  return fmt::format(
      "<tr><td>{}</td><td class=\"n\">{}</td></tr>\n", what, value);
}

std::string middle_table(const CameraBound& bound, const CameraBound& heard) {
  return "<table>\n<caption>In its middle: attainable standard deviations of "
         "one feed, then what the camera sees of it.</caption>\n<tbody>\n" +
         row("bounce along the table", shown(mm_from_m(bound.x_m), 2) + " mm") +
         row("the same, with the film's sound",
             shown(mm_from_m(heard.x_m), 2) + " mm") +
         row("bounce across", shown(mm_from_m(bound.y_m), 2) + " mm") +
         row("time of the bounce", shown(ms_from_s(bound.t_s), 3) + " ms") +
         row("speed", shown(mm_from_m(bound.speed_mps), 1) + " mm/s") +
         row("descent", shown(deg_from_rad(bound.descent_rad), 2) + " deg") +
         row("kick", shown(bound.kick, 4)) +
         row("sightings before and after",
             shown(bound.sightings_before, 1) + ", " +
                 shown(bound.sightings_after, 1)) +
         row("the ball moves between two sightings by",
             shown(mm_from_m(bound.spacing_m), 0) + " mm") +
         row("blur by the exposure", shown(bound.streak_px, 1) + " px") +
         row("part of the bounce's change of velocity seen from the side",
             shown(100 * bound.push_seen, 0) + " %") +
         "</tbody></table>\n";
}

}  // namespace

std::string camera_page(const CameraSurveyOptions& options,
                        const CameraSurvey& survey,
                        const Surface& surface) {
  const bool good =
      survey.middle.view == BounceView::kClear && survey.advice.empty();
  const double times = enlargement(survey);
  std::string out =
      page_head("What the camera can see", "evenfeed plan of the camera") +
      fmt::format(
          "<div class=\"verdict {}\"><h2>{}</h2><p>At best the bounce "
          "is known to {} mm along ({} with the film's sound) and {} mm "
          "across, "
          "and to {} ms (standard deviations, one feed, in the middle of the "
          "landing zone).</p></div>\n",
          good ? "good" : "caution",
          survey.middle.view == BounceView::kClear
              ? "The camera sees the bounce."
          : survey.middle.view == BounceView::kWeak
              ? "The camera sees it weakly."
              : "Not from here.",
          shown(mm_from_m(survey.middle.x_m), 1),
          shown(mm_from_m(survey.middle_heard.x_m), 1),
          shown(mm_from_m(survey.middle.y_m), 1),
          shown(ms_from_s(survey.middle.t_s), 2));
  out += list_section("Advice", "warning", survey.advice);
  out += fmt::format(
      "<section><h2>Over the landing zone</h2>\n<figure>\n{}<figcaption>"
      "Attainable standard deviation in mm: above each place along the table, "
      "below it across, drawn {:.0f} times "
      "enlarged.</figcaption></figure>\n{}</section>\n",
      bounce_map(survey, surface, times),
      times,
      middle_table(survey.middle, survey.middle_heard));
  if (!survey.elsewhere.empty()) {
    out += fmt::format(
        "<section><h2>From elsewhere</h2>\n<figure>\n{}<figcaption>Uncertainty "
        "along the table in mm with the camera there, at the same height and "
        "turned to the same point; a square is the planned place. Circles: "
        "within twice the best; triangles: within five times.</figcaption>"
        "</figure></section>\n",
        place_map(options, survey, surface));
  }
  return out + safety_notes() +
         "<footer>A Cramér-Rao bound: no way of measuring does better with "
         "these sightings; a real one does somewhat worse. What the "
         "calibration leaves uncertain comes on top.</footer>\n" +
         page_foot({});
}

}  // namespace evenfeed
