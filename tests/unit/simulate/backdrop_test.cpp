// SPDX-License-Identifier: MIT
#include "simulate/backdrop.h"

#include "simulate/film.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Where along a column (or row) the light steps from `low` to `high`: by the
// area under the step, so that blur does not matter.
double step_px(const cv::Mat3f& light, int fixed, bool column, double near_px) {
  const int reach = 9;
  const int from = static_cast<int>(std::lround(near_px)) - reach;
  std::vector<double> values;
  for (int i = 0; i <= 2 * reach; ++i) {
    const cv::Vec3f& pixel =
        column ? light(from + i, fixed) : light(fixed, from + i);
    values.push_back(pixel[0]);
  }
  const double low = values.front();
  const double high = values.back();
  double share = 0;
  for (const double value : values) share += (value - low) / (high - low);
  // The high side ends half a pixel beyond the last one.
  return from + 2 * reach + 0.5 - share;
}

// Where the picture of the table's line y = y_m (or x = x_m) crosses a column
// (or row): by bisection along the line.
double truth_px(const CameraModel& camera,
                bool along_x,
                double other_m,
                int fixed,
                bool column) {
  double low = -1.3;
  double high = 1.3;
  const auto point = [&](double s) {
    return *camera.project(along_x ? Eigen::Vector3d(s, other_m, 0)
                                   : Eigen::Vector3d(other_m, s * 0.55, 0));
  };
  const auto off = [&](double s) {
    return (column ? point(s).x() : point(s).y()) - fixed;
  };
  const bool rising = off(high) > off(low);
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    ((off(middle) < 0) == rising ? low : high) = middle;
  }
  return column ? point(low).y() : point(low).x();
}

Scene wide_lines() {
  Scene scene = plain_scene();
  // Lines broad enough for the step's plateaus, and nothing else nearby.
  for (PaintedLine& line : scene.surface.lines) {
    if (line.name == "side_left") line.low_m.y() -= 0.2;
    if (line.name == "end_far") line.low_m.x() -= 0.2;
  }
  scene.look.table = {0.03, 0.03, 0.03};
  scene.look.floor_lines = false;
  return scene;
}

}  // namespace

TEST_CASE("edges of painted lines lie within 0.03 px of the truth") {
  const Scene scene = wide_lines();
  const CameraModel& camera = scene.camera.model;
  const Backdrop backdrop = draw_backdrop(scene, Hall(scene));
  int cases = 0;
  double sum = 0;
  const double inner_y = scene.surface.width_m / 2 - 0.22;
  for (int u = 330; u <= 480; u += 6) {
    const double truth = truth_px(camera, true, inner_y, u, true);
    const double error = step_px(backdrop.light, u, true, truth) - truth;
    CAPTURE(u);
    CHECK(std::abs(error) < 0.03);
    sum += error;
    ++cases;
  }
  const double inner_x = scene.surface.length_m / 2 - 0.22;
  for (int v = 210; v <= 290; v += 5) {
    const auto centre = *camera.project({inner_x, 0, 0});
    if (std::abs(v - centre.y()) < 14) continue;  // the centre line
    const double truth = truth_px(camera, false, inner_x, v, false);
    const double error = step_px(backdrop.light, v, false, truth) - truth;
    CAPTURE(v);
    CHECK(std::abs(error) < 0.03);
    sum += error;
    ++cases;
  }
  CHECK(cases >= 30);
  CHECK(std::abs(sum / cases) < 0.01);
}

TEST_CASE("surfaces are told apart") {
  const Scene scene = plain_scene();
  const Backdrop backdrop = draw_backdrop(scene, Hall(scene));
  const auto at = [&](const cv::Mat1f& mat, const Eigen::Vector3d& x) {
    const auto px = *scene.camera.model.project(x);
    return mat(static_cast<int>(std::lround(px.y())),
               static_cast<int>(std::lround(px.x())));
  };
  CHECK(at(backdrop.on_table, {0.6, 0.3, 0}) == doctest::Approx(1));
  CHECK(at(backdrop.on_floor, {0.6, 0.3, 0}) == doctest::Approx(0));
  CHECK(at(backdrop.on_table, {0.3, -1.0, -0.76}) == doctest::Approx(0));
  CHECK(at(backdrop.on_floor, {0.3, -1.0, -0.76}) == doctest::Approx(1));
  CHECK(at(backdrop.net_cover, {0, 0.3, 0.08}) > 0.3);
  const double depth =
      (Eigen::Vector3d(0.6, 0.3, 0) - scene.camera.model.eye_in_table_m())
          .norm();
  CHECK(at(backdrop.depth_m, {0.6, 0.3, 0}) ==
        doctest::Approx(depth).epsilon(0.002));
}

TEST_CASE("the white lines are the brightest, the table is dark") {
  const Scene scene = plain_scene();
  const YuvPicture picture = render_background(scene);
  REQUIRE(picture.y.size() == 640u * 480u);
  const auto grey = [&](const Eigen::Vector3d& x) {
    const auto px = *scene.camera.model.project(x);
    return static_cast<int>(
        picture.y[static_cast<std::size_t>(std::lround(px.y())) * 640 +
                  static_cast<std::size_t>(std::lround(px.x()))]);
  };
  CHECK(grey({0.7, 0.7525, 0}) > 180);
  CHECK(grey({0.7, 0.4, 0}) < 100);
}
