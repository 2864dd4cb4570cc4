// SPDX-License-Identifier: MIT
#include "report/side_view.h"

#include "base/counted.h"
#include "base/units.h"
#include "report/map_grid.h"
#include "report/svg_canvas.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kTabletop_mm = 25;  // as thick as it is drawn
// Two steps of a path leave a fall of 0.5 mm out, a sixth of a picture unit.
constexpr std::size_t kEvery = 2;
constexpr double kMeanStep_mm = 10;
constexpr double kNames_px = 34, kBelow_px = 84, kAbove_px = 64,
                 kMargin_px = 44;

using SideLine = std::vector<Eigen::Vector2d>;

Eigen::Vector2d side_mm(const FlownPoint& point) {
  return {mm_from_m(point.x_in_table_m.x()), mm_from_m(point.x_in_table_m.z())};
}

// A moment that stands there twice is a landing, and what comes after it went
// on from there.
bool lands_between(const FlownPoint& a, const FlownPoint& b) {
  return a.leg == Leg::kBack && b.leg == Leg::kBack && a.t_s == b.t_s &&
         a.mark == FlightMark::kNone && b.mark == FlightMark::kNone;
}

std::vector<FlownPoint> until_landing(const FlownFeed& feed) {
  std::vector<FlownPoint> shown;
  for (const FlownPoint& point : feed.path) {
    if (!shown.empty() && lands_between(shown.back(), point)) break;
    shown.push_back(point);
  }
  return shown;
}

SideLine line_of(const std::vector<FlownPoint>& path,
                 bool back,
                 std::size_t every) {
  SideLine line;
  std::size_t skipped = every;
  for (std::size_t i = 0; i < path.size(); ++i) {
    if ((path[i].leg == Leg::kBack) != back) continue;
    const bool end =
        i + 1 == path.size() || path[i + 1].leg != path[i].leg || line.empty();
    if (++skipped < every && !end && path[i].mark == FlightMark::kNone) {
      continue;
    }
    line.push_back(side_mm(path[i]));
    skipped = 0;
  }
  return line;
}

// Where the line has this x; nothing when it does not get there.
std::optional<double> height_at(const SideLine& line, double x) {
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Eigen::Vector2d &a = line[i - 1], &b = line[i];
    if (a.x() == b.x() || x < std::min(a.x(), b.x()) ||
        x > std::max(a.x(), b.x())) {
      continue;
    }
    return a.y() + (x - a.x()) / (b.x() - a.x()) * (b.y() - a.y());
  }
  return std::nullopt;
}

View side_extent(const std::vector<SideFlights>& groups,
                 const std::optional<Surface>& surface) {
  View view{{1e9, -kTabletop_mm}, {-1e9, 0}};
  if (surface) {
    const double half_mm = mm_from_m(surface->length_m) / 2;
    view.include({-half_mm, 0});
    view.include({half_mm, 0});
  }
  for (const SideFlights& group : groups) {
    for (const FlownFeed* flight : group.flights) {
      for (const FlownPoint& point : until_landing(*flight)) {
        view.include(side_mm(point));
      }
    }
  }
  const double px_mm =
      std::max(view.size_mm().x(), 100.0) / (kMapWidth_px - 2 * kMargin_px);
  view.low_mm -= Eigen::Vector2d(kMargin_px, kBelow_px) * px_mm;
  view.high_mm += Eigen::Vector2d(kMargin_px, kAbove_px) * px_mm;
  return view;
}

void draw_bench(const std::optional<Surface>& surface, SvgCanvas& canvas) {
  if (!surface) return;
  const double half_mm = mm_from_m(surface->length_m) / 2;
  canvas.rectangle({-half_mm, -kTabletop_mm}, {half_mm, 0}, "surface");
  if (!surface->net.present) return;
  const double x_mm = mm_from_m(surface->net.x_m);
  canvas.line({x_mm, 0}, {x_mm, mm_from_m(surface->net.height_m)}, "net");
  canvas.label(
      {x_mm, -kTabletop_mm - kNames_px / canvas.px_per_mm()}, "net", "note");
}

struct MarkLook {
  Mark mark;
  double radius_px;
  const char* style;
  const char* words;
};

MarkLook mark_look(FlightMark mark) {
  switch (mark) {
    case FlightMark::kContact:
      return {Mark::kSquare, 2.5, "dot", "contact"};
    case FlightMark::kHighest:
      return {Mark::kTriangle, 5, "dot", "highest place of the return"};
    case FlightMark::kNet:
      return {Mark::kBar, 7, "bar", "over the net"};
    case FlightMark::kBounce:
    case FlightMark::kNone:
      break;
  }
  return {Mark::kCircle, 3.5, "dot", "bounce"};
}

void draw_marks(const SideFlights& group,
                const FlownFeed& flight,
                SvgCanvas& canvas) {
  for (const FlownPoint& point : until_landing(flight)) {
    if (point.mark == FlightMark::kNone) continue;
    const MarkLook look = mark_look(point.mark);
    const Eigen::Vector2d at = side_mm(point);
    canvas.mark(look.mark,
                at,
                look.radius_px,
                fmt::format("{} {}", look.style, group.style_class),
                fmt::format("{}{}feed {}, {}: x {:.0f} mm, {:.0f} mm above the "
                            "table",
                            group.name,
                            group.name.empty() ? "" : ", ",
                            flight.number,
                            look.words,
                            at.x(),
                            at.y()));
  }
}

void draw_group(const SideFlights& group, SvgCanvas& canvas) {
  for (const bool back : {false, true}) {
    for (const FlownFeed* flight : group.flights) {
      canvas.polyline(
          line_of(until_landing(*flight), back, kEvery),
          fmt::format(
              "flight {} {}", back ? "back" : "feed", group.style_class));
    }
  }
  for (const FlownFeed* flight : group.flights) {
    draw_marks(group, *flight, canvas);
  }
}

// Its name stands below where the balls met it.
void draw_sample_name(const std::vector<SideFlights>& groups,
                      SvgCanvas& canvas) {
  double sum_mm = 0;
  int contacts = 0;
  for (const SideFlights& group : groups) {
    for (const FlownFeed* flight : group.flights) {
      for (const FlownPoint& point : flight->path) {
        if (point.mark != FlightMark::kContact) continue;
        sum_mm += side_mm(point).x();
        ++contacts;
      }
    }
  }
  if (contacts == 0) return;
  canvas.label({sum_mm / contacts + kMargin_px / 2 / canvas.px_per_mm(),
                -kTabletop_mm - kNames_px / canvas.px_per_mm()},
               "sample",
               "note",
               "end");
}

}  // namespace

std::vector<const FlownFeed*> flights_of_feeds(
    const std::vector<FlownFeed>& flights, const std::vector<int>& feeds) {
  std::vector<const FlownFeed*> found;
  for (const int feed : feeds) {
    for (const FlownFeed& one : flights) {
      if (one.number == feed && !one.path.empty()) found.push_back(&one);
    }
  }
  return found;
}

std::vector<Eigen::Vector2d> mean_return_mm(
    const std::vector<const FlownFeed*>& flights) {
  // Heights by steps along x, so that every return is gone through once.
  std::map<long, std::vector<double>> heights;
  std::size_t returns = 0;
  for (const FlownFeed* flight : flights) {
    const SideLine line = line_of(until_landing(*flight), true, 1);
    if (line.size() < 2) continue;
    ++returns;
    const auto [low, high] = std::minmax_element(
        line.begin(), line.end(), [](const auto& a, const auto& b) {
          return a.x() < b.x();
        });
    for (long k = std::lround(std::ceil(low->x() / kMeanStep_mm));
         static_cast<double>(k) * kMeanStep_mm <= high->x();
         ++k) {
      const auto height =
          height_at(line, static_cast<double>(k) * kMeanStep_mm);
      if (height) heights[k].push_back(*height);
    }
  }
  SideLine mean;
  if (returns < 2) return mean;
  for (const auto& [k, all] : heights) {
    if (2 * all.size() < returns) continue;
    double sum = 0;
    for (const double one : all) sum += one;
    mean.emplace_back(static_cast<double>(k) * kMeanStep_mm,
                      sum / static_cast<double>(all.size()));
  }
  return mean;
}

std::optional<std::string> side_view(const std::vector<SideFlights>& groups,
                                     const std::optional<Surface>& surface) {
  std::size_t flights = 0;
  for (const SideFlights& group : groups) flights += group.flights.size();
  if (flights == 0) return std::nullopt;
  const View view = side_extent(groups, surface);
  SvgCanvas canvas(view, kMapWidth_px);
  draw_bench(surface, canvas);
  draw_grid(view, {"x, mm", "height, mm"}, canvas);
  for (const SideFlights& group : groups) draw_group(group, canvas);
  for (const SideFlights& group : groups) {
    // Light on both sides, so that it is seen among the flights.
    const SideLine mean = mean_return_mm(group.flights);
    canvas.polyline(mean, "mean-edge");
    canvas.polyline(mean, fmt::format("mean-flight {}", group.style_class));
  }
  draw_sample_name(groups, canvas);
  return canvas.finish(
      fmt::format("{} and what came back, from the side, over table and net",
                  counted(static_cast<std::int64_t>(flights), "feed")));
}

}  // namespace evenfeed
