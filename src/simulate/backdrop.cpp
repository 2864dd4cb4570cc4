// SPDX-License-Identifier: MIT
#include "simulate/backdrop.h"

#include <array>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

// Hammersley points: i / n and the mirrored bits of i.
template <int kCount>
std::array<Eigen::Vector2d, kCount> hammersley() {
  std::array<Eigen::Vector2d, kCount> points;
  for (int i = 0; i < kCount; ++i) {
    double mirrored = 0.5 / kCount;
    for (int bit = 1, part = i; part > 0; ++bit, part >>= 1) {
      mirrored += (part & 1) / static_cast<double>(1 << bit);
    }
    points[i] = {(i + 0.5) / kCount, mirrored};
  }
  return points;
}

// Undistorted (x, y) on the corners of the pixels; within a pixel the lens is
// straight to a millionth of a pixel.
cv::Mat2d corner_sights(const CameraModel& camera) {
  cv::Mat2d corners(camera.height_px + 1, camera.width_px + 1);
  cv::parallel_for_({0, corners.rows}, [&](const cv::Range& rows) {
    for (int v = rows.start; v < rows.end; ++v) {
      for (int u = 0; u < corners.cols; ++u) {
        const Eigen::Vector3d ray = camera.camera_from_table.rotation *
                                    camera.ray_in_table({u - 0.5, v - 0.5});
        corners(v, u) = {ray.x() / ray.z(), ray.y() / ray.z()};
      }
    }
  });
  return corners;
}

class Painter {
 public:
  Painter(const Scene& scene, const Hall& hall, Backdrop& out)
      : scene_(scene),
        hall_(hall),
        out_(out),
        corners_(corner_sights(scene.camera.model)),
        table_from_camera_(
            scene.camera.model.camera_from_table.rotation.conjugate()
                .toRotationMatrix()),
        eye_m_(scene.camera.model.eye_in_table_m()),
        ids_(out.light.size()) {}

  void paint() {
    const cv::Range all(0, out_.light.rows);
    cv::parallel_for_(all, [&](const cv::Range& rows) {
      for (int v = rows.start; v < rows.end; ++v) first_pass(v);
    });
    cv::parallel_for_(all, [&](const cv::Range& rows) {
      for (int v = rows.start; v < rows.end; ++v) edge_pass(v);
    });
  }

 private:
  static constexpr int kMixed = -1;

  Look look(int u, int v, const Eigen::Vector2d& within) const {
    const auto& c = corners_;
    const cv::Vec2d top = c(v, u) * (1 - within.x()) + c(v, u + 1) * within.x();
    const cv::Vec2d low =
        c(v + 1, u) * (1 - within.x()) + c(v + 1, u + 1) * within.x();
    const cv::Vec2d xy = top * (1 - within.y()) + low * within.y();
    return hall_.look(
        {eye_m_,
         (table_from_camera_ * Eigen::Vector3d(xy[0], xy[1], 1)).normalized()});
  }

  template <int kCount>
  void sample(int u, int v, const std::array<Eigen::Vector2d, kCount>& places) {
    Eigen::Vector3d light = Eigen::Vector3d::Zero();
    double table = 0, floor = 0, net = 0;
    double depth = 0, net_depth = 1e30;
    int id = 0;
    for (int i = 0; i < kCount; ++i) {
      const Look seen = look(u, v, places[i]);
      light += seen.light;
      table += seen.table && seen.net_depth_m > 1e29 ? 1 : 0;
      floor += seen.floor && seen.net_depth_m > 1e29 ? 1 : 0;
      net += seen.net_depth_m < 1e29 ? 1 : 0;
      depth += std::min(seen.depth_m, 1e4);
      net_depth = std::min(net_depth, seen.net_depth_m);
      id = i == 0 || id == seen.id ? seen.id : kMixed;
    }
    light *= vignetting(scene_, u, v) / kCount;
    out_.light(v, u) = {static_cast<float>(light[0]),
                        static_cast<float>(light[1]),
                        static_cast<float>(light[2])};
    out_.on_table(v, u) = static_cast<float>(table / kCount);
    out_.on_floor(v, u) = static_cast<float>(floor / kCount);
    out_.net_cover(v, u) = static_cast<float>(net / kCount);
    out_.depth_m(v, u) = static_cast<float>(depth / kCount);
    out_.net_depth_m(v, u) = static_cast<float>(net_depth);
    if (kCount == 4) ids_(v, u) = id;
  }

  void first_pass(int v) {
    static const auto kPlaces = hammersley<4>();
    for (int u = 0; u < out_.light.cols; ++u) {
      sample<4>(u, v, kPlaces);
      const cv::Vec2d middle =
          0.25 * (corners_(v, u) + corners_(v, u + 1) + corners_(v + 1, u) +
                  corners_(v + 1, u + 1));
      out_.sight(v, u) = {static_cast<float>(middle[0]),
                          static_cast<float>(middle[1])};
    }
  }

  bool at_edge(int u, int v) const {
    const int id = ids_(v, u);
    for (int y = std::max(0, v - 1); y <= std::min(ids_.rows - 1, v + 1); ++y) {
      for (int x = std::max(0, u - 1); x <= std::min(ids_.cols - 1, u + 1);
           ++x) {
        if (ids_(y, x) == kMixed || ids_(y, x) != id) return true;
      }
    }
    return false;
  }

  void edge_pass(int v) {
    static const auto kPlaces = hammersley<64>();
    for (int u = 0; u < out_.light.cols; ++u) {
      if (at_edge(u, v)) sample<64>(u, v, kPlaces);
    }
  }

  const Scene& scene_;
  const Hall& hall_;
  Backdrop& out_;
  const cv::Mat2d corners_;
  const Eigen::Matrix3d table_from_camera_;
  const Eigen::Vector3d eye_m_;
  cv::Mat1i ids_;
};

}  // namespace

double vignetting(const Scene& scene, double u_px, double v_px) {
  const CameraModel& camera = scene.camera.model;
  const double du = (u_px - camera.width_px / 2.0) / camera.width_px;
  const double dv = (v_px - camera.height_px / 2.0) / camera.width_px;
  return 1 - scene.look.vignetting * (du * du + dv * dv) / 0.33;
}

Backdrop draw_backdrop(const Scene& scene, const Hall& hall) {
  const cv::Size size(scene.camera.model.width_px,
                      scene.camera.model.height_px);
  Backdrop out;
  out.light.create(size);
  out.depth_m.create(size);
  out.net_depth_m.create(size);
  out.net_cover.create(size);
  out.on_table.create(size);
  out.on_floor.create(size);
  out.sight.create(size);
  Painter(scene, hall, out).paint();
  if (scene.camera.blur_px > 0) {
    const double blur = scene.camera.blur_px;
    for (cv::Mat* mat : {static_cast<cv::Mat*>(&out.light),
                         static_cast<cv::Mat*>(&out.on_table),
                         static_cast<cv::Mat*>(&out.on_floor)}) {
      cv::GaussianBlur(*mat, *mat, {0, 0}, blur, blur);
    }
  }
  return out;
}

}  // namespace evenfeed
