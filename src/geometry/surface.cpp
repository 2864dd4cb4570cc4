// SPDX-License-Identifier: MIT
#include "geometry/surface.h"

#include "base/check.h"
#include "base/units.h"

#include <cmath>

namespace evenfeed {
namespace {

void add_rectangle(const std::string& prefix,
                   const Eigen::Vector2d& low,
                   const Eigen::Vector2d& high,
                   std::vector<Landmark>& out) {
  out.push_back({prefix + "_near_right", {low.x(), low.y(), 0}});
  out.push_back({prefix + "_near_left", {low.x(), high.y(), 0}});
  out.push_back({prefix + "_far_right", {high.x(), low.y(), 0}});
  out.push_back({prefix + "_far_left", {high.x(), high.y(), 0}});
}

PaintedLine load_line(const TomlTable& line) {
  PaintedLine result;
  result.name = line.text("name");
  const auto x_mm = line.numbers("x_mm", 2);
  const auto y_mm = line.numbers("y_mm", 2);
  result.low_m = {m_from_mm(x_mm[0]), m_from_mm(y_mm[0])};
  result.high_m = {m_from_mm(x_mm[1]), m_from_mm(y_mm[1])};
  if (x_mm[0] >= x_mm[1]) {
    line.refuse("x_mm", "the first number is not the smaller", "Swap them");
  }
  if (y_mm[0] >= y_mm[1]) {
    line.refuse("y_mm", "the first number is not the smaller", "Swap them");
  }
  return result;
}

}  // namespace

std::vector<Landmark> Surface::landmarks() const {
  std::vector<Landmark> all;
  const Eigen::Vector2d half{length_m / 2, width_m / 2};
  add_rectangle("corner", -half, half, all);
  for (const PaintedLine& line : lines) {
    add_rectangle(line.name, line.low_m, line.high_m, all);
  }
  if (net.present) {
    all.push_back({"net_top_left", {net.x_m, net.half_width_m, net.height_m}});
    all.push_back(
        {"net_top_right", {net.x_m, -net.half_width_m, net.height_m}});
    all.push_back({"net_foot_left", {net.x_m, half.y(), 0}});
    all.push_back({"net_foot_right", {net.x_m, -half.y(), 0}});
  }
  return all;
}

bool Surface::contains(const Eigen::Vector2d& x_in_table_m,
                       double margin_m) const {
  return std::abs(x_in_table_m.x()) <= length_m / 2 + margin_m &&
         std::abs(x_in_table_m.y()) <= width_m / 2 + margin_m;
}

void Surface::check() const {
  require_in_range(length_m, 0.5, 60, "surface length (m)");
  require_in_range(width_m, 0.3, 60, "surface width (m)");
  require_in_range(height_above_floor_m, 0, 2, "surface height (m)");
  for (const PaintedLine& line : lines) {
    require_in_range(line.low_m.x(),
                     -length_m / 2 - 1e-9,
                     length_m / 2,
                     "line " + line.name + " x (m)");
    require_in_range(line.high_m.y(),
                     -width_m / 2,
                     width_m / 2 + 1e-9,
                     "line " + line.name + " y (m)");
  }
  if (net.present) {
    require_positive(net.height_m, "net height (m)");
    require_positive(net.half_width_m, "net half width (m)");
  }
}

Surface load_surface(const TomlTable& table) {
  Surface surface;
  surface.name = table.text("name");
  surface.length_m = m_from_mm(table.number("length_mm"));
  surface.width_m = m_from_mm(table.number("width_mm"));
  surface.height_above_floor_m =
      m_from_mm(table.number("height_above_floor_mm"));
  for (const TomlTable& line : table.tables("line")) {
    surface.lines.push_back(load_line(line));
  }
  if (table.has("net")) {
    const TomlTable net = table.table("net");
    surface.net.present = true;
    surface.net.x_m = m_from_mm(net.number("x_mm"));
    surface.net.height_m = m_from_mm(net.number("height_mm"));
    surface.net.half_width_m = m_from_mm(net.number("half_width_mm"));
  }
  check_loaded(table, surface);
  return surface;
}

void Ball::check() const {
  require_in_range(mm_from_m(radius_m), 5, 200, "ball radius (mm)");
  require_in_range(mass_kg, 1e-4, 2, "ball mass (kg)");
}

Ball load_ball(const TomlTable& table) {
  Ball ball;
  ball.radius_m = m_from_mm(table.number("radius_mm"));
  ball.mass_kg = table.number("mass_g") * 1e-3;
  check_loaded(table, ball);
  return ball;
}

}  // namespace evenfeed
