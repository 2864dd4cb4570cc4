// SPDX-License-Identifier: MIT
#include "flight/mirror_image.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Sighting seen(const CameraModel& camera, const Eigen::Vector3d& at_m) {
  Sighting s;
  s.centre_px = *camera.project(at_m);
  return s;
}

Eigen::Vector3d below(const Eigen::Vector3d& at_m) {
  return {at_m.x(), at_m.y(), -at_m.z()};
}

}  // namespace

TEST_CASE("both lines of sight place the ball") {
  for (const double side_deg : {0., 25., 60.}) {
    const CameraModel camera = camera_at(side_deg);
    for (const Eigen::Vector3d& at_m :
         {Eigen::Vector3d(0.6, 0.1, 0.2), Eigen::Vector3d(-0.4, -0.3, 0.5)}) {
      CAPTURE(side_deg);
      const Sighting ball = seen(camera, at_m);
      const Sighting image = seen(camera, below(at_m));
      const auto both = ball_with_image(ball, image, camera, whole_table());
      REQUIRE(both);
      CHECK((both->at_m - at_m).norm() < 1e-6);
      CHECK(both->beside_px < 1e-3);
      // The image is not the ball.
      CHECK_FALSE(ball_with_image(image, ball, camera, whole_table()));
    }
  }
}

TEST_CASE("the height is as uncertain as it says") {
  const CameraModel camera = camera_at(45);
  const Eigen::Vector3d at_m(0.6, 0.1, 0.2);
  const Sighting ball = seen(camera, at_m);
  Sighting image = seen(camera, below(at_m));
  const Eigen::Vector2d way_px = image.centre_px - ball.centre_px;
  image.centre_px += way_px.normalized();  // by what is thought to be noise
  const auto both = ball_with_image(ball, image, camera, whole_table());
  REQUIRE(both);
  const double off_m = std::abs(both->at_m.z() - at_m.z());
  CHECK(off_m > 0.7 * both->s_height_m);
  CHECK(off_m < 1.4 * both->s_height_m);
}

TEST_CASE("what lies beside the image is told by how far") {
  const CameraModel camera = camera_at(45);
  const Eigen::Vector3d at_m(0.6, 0.1, 0.2);
  const Sighting ball = seen(camera, at_m);
  Sighting image = seen(camera, below(at_m));
  const Eigen::Vector2d way_px = image.centre_px - ball.centre_px;
  image.centre_px += 12 * Eigen::Vector2d(-way_px.y(), way_px.x()).normalized();
  auto both = ball_with_image(ball, image, camera, whole_table());
  REQUIRE(both);
  CHECK(both->beside_px > 8);
  CHECK(both->beside_px < 14);
  CHECK(both->tolerance_px < 5);
  // Seen a millisecond apart, a ball has moved.
  image.t_s += 0.001;
  both = ball_with_image(ball, image, camera, whole_table());
  REQUIRE(both);
  CHECK(both->tolerance_px > 7);
}

TEST_CASE("no image is seen beside the table, nor of what lies or flies high") {
  const CameraModel camera = camera_at(45);
  const auto is_one = [&](const Eigen::Vector3d& at_m) {
    return ball_with_image(seen(camera, at_m),
                           seen(camera, below(at_m)),
                           camera,
                           whole_table())
        .has_value();
  };
  CHECK(is_one({0.6, 0.1, 0.2}));
  CHECK_FALSE(is_one({1.6, 0.1, 0.2}));
  CHECK_FALSE(is_one({0.6, 0.1, 0.01}));
  CHECK_FALSE(is_one({0.6, -0.6, 1.3}));
}
