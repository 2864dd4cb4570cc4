// SPDX-License-Identifier: MIT
#include "simulate/hall.h"

#include "simulate/hall_solids.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace evenfeed {
namespace {

enum Id { kSky = 0, kFloor, kFloorLine, kTable, kTableLine, kPrint, kMesh };
constexpr int kFirstSolid = 16;

Eigen::Vector3d vector_of(const Rgb& colour) {
  return {colour[0], colour[1], colour[2]};
}

double smooth_step(double low, double high, double x) {
  const double t = std::clamp((x - low) / (high - low), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

double lattice(int x, int y) {
  auto h = static_cast<std::uint32_t>(x) * 0x8da6b343u ^
           static_cast<std::uint32_t>(y) * 0xd8163841u;
  h ^= h >> 13;
  h *= 0x5bd1e995u;
  h ^= h >> 15;
  return h * (1.0 / 4294967296.0);
}

// Smooth noise with cells of size 1, 0..1.
double value_noise(double x, double y) {
  const double fx = std::floor(x);
  const double fy = std::floor(y);
  const int ix = static_cast<int>(fx);
  const int iy = static_cast<int>(fy);
  const double sx = smooth_step(0, 1, x - fx);
  const double sy = smooth_step(0, 1, y - fy);
  const double low = lattice(ix, iy) * (1 - sx) + lattice(ix + 1, iy) * sx;
  const double high =
      lattice(ix, iy + 1) * (1 - sx) + lattice(ix + 1, iy + 1) * sx;
  return low * (1 - sy) + high * sy;
}

// How much of a soft-edged rectangle [-half, half] stands before x.
double soft_rectangle(double x, double half, double soft) {
  return smooth_step(-half - soft, -half + soft, x) *
         (1 - smooth_step(half - soft, half + soft, x));
}

// Bars of lettering, the look of a maker's print from afar.
bool on_print(const Surface& surface, const Eigen::Vector2d& x) {
  const double u = x.x() - surface.length_m * 0.30;
  const double v = x.y() + surface.width_m * 0.36;
  if (std::abs(u) > 0.21 || std::abs(v) > 0.035) return false;
  const int letter = static_cast<int>(std::floor((u + 0.21) / 0.06));
  const double within = (u + 0.21) / 0.06 - letter;
  if (within > 0.72) return false;
  const bool stem = within < 0.2;
  const int bars = 1 + letter % 3;
  const double high = (v + 0.035) / 0.07 * bars;
  return stem || high - std::floor(high) < 0.35;
}

}  // namespace

Hall::Hall(const Scene& scene)
    : scene_(scene),
      light_(scene),
      boxes_(hall_boxes(scene)),
      capsules_(hall_capsules(scene)) {}

Eigen::Vector3d Hall::table_colour(const Eigen::Vector2d& x_m, int& id) const {
  for (const PaintedLine& line : scene_.surface.lines) {
    if (x_m.x() >= line.low_m.x() && x_m.x() <= line.high_m.x() &&
        x_m.y() >= line.low_m.y() && x_m.y() <= line.high_m.y()) {
      id = kTableLine;
      return vector_of(scene_.look.line);
    }
  }
  if (scene_.look.print && on_print(scene_.surface, x_m)) {
    id = kPrint;
    return 0.7 * vector_of(scene_.look.line);
  }
  id = kTable;
  return vector_of(scene_.look.table) *
         (0.97 + 0.06 * value_noise(x_m.x() * 3, x_m.y() * 3));
}

Eigen::Vector3d Hall::floor_colour(const Eigen::Vector3d& x_m, int& id) const {
  if (scene_.look.floor_lines) {
    // Lines of other games: two across, two along, one a circle.
    const double ring = std::hypot(x_m.x() + 0.9, x_m.y() - 1.2);
    if (std::abs(x_m.y() + 1.32) < 0.025 || std::abs(x_m.x() - 2.05) < 0.025 ||
        std::abs(x_m.y() - 0.35 * x_m.x() - 2.1) < 0.025 ||
        std::abs(ring - 1.8) < 0.025) {
      id = kFloorLine;
      return {0.62, 0.62, 0.58};
    }
  }
  id = kFloor;
  const double broad = value_noise(x_m.x() * 0.9 + 7, x_m.y() * 0.9);
  const double boards = value_noise(x_m.x() * 1.1, x_m.y() * 14);
  const double grain = value_noise(x_m.x() * 25, x_m.y() * 60);
  return vector_of(scene_.look.floor) *
         (0.78 + 0.22 * broad + 0.14 * boards + 0.06 * grain);
}

double Hall::table_shade(const Eigen::Vector3d& x) const {
  const double height = scene_.surface.height_above_floor_m;
  if (height <= 0) return 1;
  // Where the way from the floor to the lamp crosses the table's level.
  const Eigen::Vector3d& lamp = light_.lamp_m();
  const double part = height / (lamp.z() + height);
  const Eigen::Vector3d at = x + part * (lamp - x);
  const double soft = 0.02 + light_.lamp_radius_m() * (1 - part) * 0.35;
  const double lamp_off =
      soft_rectangle(at.x(), scene_.surface.length_m / 2, soft) *
      soft_rectangle(at.y(), scene_.surface.width_m / 2, soft);
  const double sky_off =
      soft_rectangle(x.x(), scene_.surface.length_m / 2, 0.35) *
      soft_rectangle(x.y(), scene_.surface.width_m / 2, 0.35);
  return 1 - (1 - light_.ambient()) * lamp_off -
         0.8 * light_.ambient() * sky_off;
}

double Hall::launcher_shade(const Eigen::Vector3d& x) const {
  const Eigen::Vector3d& exit = scene_.launcher.exit_m;
  if (exit.z() <= 0.05) return 1;
  const Eigen::Vector3d& lamp = light_.lamp_m();
  const Eigen::Vector3d at = x + exit.z() / lamp.z() * (lamp - x);
  const double shade = soft_rectangle(at.x() - exit.x() + 0.28, 0.14, 0.05) *
                       soft_rectangle(at.y() - exit.y(), 0.12, 0.05);
  return 1 - 0.8 * (1 - light_.ambient()) * shade;
}

void Hall::meet_surfaces(const Ray& ray, Look& look) const {
  if (ray.direction.z() >= -1e-9) {
    look.light = Eigen::Vector3d(0.30, 0.32, 0.34) * light_.level({0, 0, 0});
    return;
  }
  const double t_table = -ray.origin_m.z() / ray.direction.z();
  const Eigen::Vector3d on_table = ray.origin_m + t_table * ray.direction;
  if (t_table > 0 && scene_.surface.contains(on_table.head<2>())) {
    look.table = true;
    look.depth_m = t_table;
    const Eigen::Vector3d colour = table_colour(on_table.head<2>(), look.id);
    look.light =
        colour * light_.on_face(on_table, Eigen::Vector3d::UnitZ()) *
            launcher_shade(on_table) +
        Eigen::Vector3d::Constant(light_.glare(on_table, -ray.direction));
    return;
  }
  const double height = scene_.surface.height_above_floor_m;
  const double t_floor = -(ray.origin_m.z() + height) / ray.direction.z();
  const Eigen::Vector3d on_floor = ray.origin_m + t_floor * ray.direction;
  look.floor = true;
  look.depth_m = t_floor;
  const Eigen::Vector3d colour = floor_colour(on_floor, look.id);
  look.light = colour * light_.on_face(on_floor, Eigen::Vector3d::UnitZ()) *
               table_shade(on_floor);
}

void Hall::meet_solids(const Ray& ray, Look& look) const {
  int id = kFirstSolid;
  const auto take = [&](const std::optional<Hit>& hit, const Rgb& colour) {
    if (hit && hit->t_m < look.depth_m) {
      look.depth_m = hit->t_m;
      look.table = look.floor = false;
      look.id = id + hit->face;
      const Eigen::Vector3d at = ray.origin_m + hit->t_m * ray.direction;
      look.light = vector_of(colour) * light_.on_face(at, hit->normal);
    }
    id += 8;
  };
  for (const Box& box : boxes_) take(meet(box, ray), box.colour);
  for (const Capsule& stick : capsules_) {
    take(meet(stick, ray), stick.colour);
  }
}

void Hall::meet_net(const Ray& ray, Look& look) const {
  const Net& net = scene_.surface.net;
  if (!net.present || ray.direction.x() == 0) return;
  const double t = (net.x_m - ray.origin_m.x()) / ray.direction.x();
  if (t <= 0 || t >= look.depth_m) return;
  const Eigen::Vector3d at = ray.origin_m + t * ray.direction;
  if (at.z() < 0.004 || at.z() > net.height_m ||
      std::abs(at.y()) > net.half_width_m) {
    return;
  }
  const Eigen::Vector3d cord =
      Eigen::Vector3d(0.03, 0.035, 0.04) * light_.level(at);
  look.light = kMesh * cord + (1 - kMesh) * look.light;
  look.net_depth_m = t;
  look.id += 100000;
}

Look Hall::look(const Ray& ray) const {
  Look look;
  meet_surfaces(ray, look);
  meet_solids(ray, look);
  meet_net(ray, look);
  return look;
}

}  // namespace evenfeed
