// SPDX-License-Identifier: MIT
#include "calibration/camera_jacobian.h"

#include "geometry/camera_model.h"

#include <functional>

#include <Eigen/Geometry>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Place {
  Eigen::Matrix<double, 5, 1> lens;
  Eigen::Vector3d turn, translation, point;
  Eigen::Matrix3d start;
};

Place place(const Eigen::Vector3d& turn) {
  Place p;
  p.lens << 900, -0.07, 0.02, 641, 355;
  p.turn = turn;
  p.translation = {0.05, -0.1, 2.4};
  p.point = {0.7, -0.3, 0.15};
  p.start = Eigen::AngleAxisd(3.0, Eigen::Vector3d(1, 0.1, -0.05).normalized())
                .toRotationMatrix();
  return p;
}

ProjectedPoint project(const Place& p) {
  return project_with_jacobian(p.lens, p.turn, p.translation, p.start, p.point);
}

Eigen::Vector2d slope(const Place& at,
                      double step,
                      const std::function<void(Place&, double)>& move) {
  Place a = at, b = at;
  move(a, -step);
  move(b, step);
  return (project(b).px - project(a).px) / (2 * step);
}

}  // namespace

TEST_CASE("every derivative is that of finite differences") {
  int compared = 0;
  for (const Eigen::Vector3d& turn : {Eigen::Vector3d(0, 0, 0),
                                      Eigen::Vector3d(0.2, -0.3, 0.15),
                                      Eigen::Vector3d(1e-6, 2e-6, 0)}) {
    const Place p = place(turn);
    const ProjectedPoint at = project(p);
    const auto check = [&](const Eigen::Vector2d& own,
                           const Eigen::Vector2d& difference) {
      CHECK((own - difference).norm() < 1e-5 * (1 + difference.norm()));
      ++compared;
    };
    for (int i = 0; i < 5; ++i) {
      check(at.by_lens.col(i),
            slope(p, 1e-5, [i](Place& q, double h) { q.lens[i] += h; }));
    }
    for (int i = 0; i < 3; ++i) {
      check(at.by_turn.col(i),
            slope(p, 1e-5, [i](Place& q, double h) { q.turn[i] += h; }));
      check(at.by_translation.col(i),
            slope(p, 1e-5, [i](Place& q, double h) { q.translation[i] += h; }));
      check(at.by_point.col(i),
            slope(p, 1e-5, [i](Place& q, double h) { q.point[i] += h; }));
    }
  }
  CHECK(compared == 3 * 14);
}

TEST_CASE("the picture point is the camera model's") {
  const Place p = place({0.1, 0.05, -0.2});
  CameraModel camera;
  camera.width_px = 1280;
  camera.height_px = 720;
  camera.lens = {900, 641, 355, -0.07, 0.02};
  camera.camera_from_table.rotation = Eigen::Quaterniond(
      Eigen::AngleAxisd(p.turn.norm(), p.turn.normalized()).toRotationMatrix() *
      p.start);
  camera.camera_from_table.translation_m = p.translation;
  CHECK((*camera.project(p.point) - project(p).px).norm() < 1e-9);
}
