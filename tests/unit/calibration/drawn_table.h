// SPDX-License-Identifier: MIT
// A still of a table drawn through a known camera, for calibration's tests:
// every pixel is the mean of sub-samples traced to the surface, the net or the
// floor. Separate from the simulator, so that the two check each other.
#pragma once

#include "base/random.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <cmath>
#include <random>

#include <opencv2/imgproc.hpp>

namespace evenfeed {

struct DrawnTable {
  double table = 60, line = 205, floor = 105, net = 45, tape = 200;
  double noise = 0.5;  ///< grey levels; a median of many frames
  double blur_px = 0.7;
  bool floor_grid = false;  ///< a floor full of white lines, 0.7 m apart
  bool hall_lines = false;  ///< white lines on the floor around the table
  int samples = 4;          ///< per pixel and axis
};

/// The tape: a box 4 mm thick and 15 mm high (slab method).
inline bool meets_tape(const Net& net,
                       const Eigen::Vector3d& eye,
                       const Eigen::Vector3d& ray) {
  const Eigen::Vector3d low(
      net.x_m - 0.002, -net.half_width_m, net.height_m - 0.015);
  const Eigen::Vector3d high(net.x_m + 0.002, net.half_width_m, net.height_m);
  double enter = 0, leave = 1e9;
  for (int i = 0; i < 3; ++i) {
    const double a = (low[i] - eye[i]) / ray[i];
    const double b = (high[i] - eye[i]) / ray[i];
    enter = std::max(enter, std::min(a, b));
    leave = std::min(leave, std::max(a, b));
  }
  return enter < leave;
}

inline double table_grey(const CameraModel& camera,
                         const Surface& surface,
                         const DrawnTable& look,
                         double u,
                         double v) {
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  const Eigen::Vector3d ray = camera.ray_in_table({u, v});
  double floor = look.floor;
  const double to_table = -eye.z() / ray.z();
  const Eigen::Vector3d on_table = eye + to_table * ray;
  double grey = -1;
  if (surface.net.present) {
    if (meets_tape(surface.net, eye, ray)) return look.tape;
    const double t = (surface.net.x_m - eye.x()) / ray.x();
    const Eigen::Vector3d at = eye + t * ray;
    const bool mesh = t > 0 && t < to_table && at.z() < surface.net.height_m &&
                      std::abs(at.y()) < surface.net.half_width_m;
    if (mesh) return look.net;
  }
  if (surface.contains(on_table.head<2>())) {
    grey = look.table;
    for (const PaintedLine& line : surface.lines) {
      if (on_table.x() >= line.low_m.x() && on_table.x() <= line.high_m.x() &&
          on_table.y() >= line.low_m.y() && on_table.y() <= line.high_m.y()) {
        grey = look.line;
      }
    }
    return grey;
  }
  const double to_floor = -(eye.z() + surface.height_above_floor_m) / ray.z();
  const Eigen::Vector3d on_floor = eye + to_floor * ray;
  floor += 12 * std::sin(on_floor.x() * 3) * std::cos(on_floor.y() * 2.3);
  if (look.floor_grid) {
    const auto off = [](double x) {
      return std::abs(x - 0.7 * std::round(x / 0.7));
    };
    const double a = on_floor.x() + 0.1 * on_floor.y();
    const double b = on_floor.y() - 0.1 * on_floor.x();
    if (off(a) < 0.02 || off(b) < 0.02) floor = 215;
  }
  if (look.hall_lines) {
    const auto stripe = [](double x, double at, double width) {
      return std::abs(x - at) < width / 2;
    };
    const double slant = on_floor.x() * 0.97 + on_floor.y() * 0.24;
    if (stripe(on_floor.y(), -1.25, 0.05) || stripe(slant, 1.9, 0.05) ||
        stripe(on_floor.x(), -1.75, 0.08) || stripe(on_floor.y(), 1.5, 0.05)) {
      floor = 220;
    }
  }
  return floor;
}

/// Light of a stored grey level and back: pictures are blurred in light.
inline double light_of(double grey) {
  return std::pow(std::max(grey - 16, 0.0) / 219, 2.2);
}
inline double grey_of(double light) {
  return 16 + 219 * std::pow(std::max(light, 0.0), 1 / 2.2);
}

inline cv::Mat draw_table(const CameraModel& camera,
                          const Surface& surface,
                          const DrawnTable& look,
                          std::uint64_t seed) {
  cv::Mat picture(camera.height_px, camera.width_px, CV_32F);
  const int n = look.samples;
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      const auto light = [&](double du, double dv) {
        return light_of(table_grey(camera, surface, look, u + du, v + dv));
      };
      // Where nine points agree the pixel holds no edge; the finest line is
      // half a pixel wide in the smallest picture drawn.
      double low = 1e9, high = -1e9;
      for (int i = 0; i < 9; ++i) {
        const double at = light((i % 3 - 1) * 0.5, (i / 3 - 1) * 0.5);
        low = std::min(low, at);
        high = std::max(high, at);
      }
      if (high - low < 0.02) {
        picture.at<float>(v, u) = static_cast<float>(light(0, 0));
        continue;
      }
      double sum = 0;
      for (int i = 0; i < n * n; ++i) {
        sum += light((i % n + 0.5) / n - 0.5, (i / n + 0.5) / n - 0.5);
      }
      picture.at<float>(v, u) = static_cast<float>(sum / (n * n));
    }
  }
  cv::GaussianBlur(picture, picture, {}, look.blur_px);
  auto engine = derived_engine(seed, "drawn table");
  std::normal_distribution<float> noise(0, static_cast<float>(look.noise));
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      float& value = picture.at<float>(v, u);
      value = static_cast<float>(grey_of(value)) + noise(engine);
    }
  }
  cv::Mat luma;
  picture.convertTo(luma, CV_8U);
  return luma;
}

}  // namespace evenfeed
