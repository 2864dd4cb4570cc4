// SPDX-License-Identifier: MIT
#include "simulate/arm.h"

#include "simulate/frame_renderer.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Scene scene_with_arms() {
  Scene scene = halved(plain_scene());
  scene.nuisance.arm_visits = 2;
  scene.film.duration_s = 10;
  return scene;
}

}  // namespace

TEST_CASE("the arm comes, stays and goes, the same for the same seed") {
  const Scene scene = scene_with_arms();
  const auto visits = arm_visits(scene, 4);
  REQUIRE(visits.size() == 2);
  CHECK(arm_visits(scene, 4)[1].start_s == visits[1].start_s);
  CHECK(arm_visits(scene, 5)[1].start_s != visits[1].start_s);
  for (const ArmVisit& visit : visits) {
    const double middle_s = visit.start_s + 0.8;
    CHECK(visit.active(middle_s));
    CHECK_FALSE(visit.active(visit.start_s - 0.01));
    CHECK_FALSE(visit.active(visit.start_s + 1.7));
    // The hand reaches its target in the middle and is far away at the ends.
    CHECK((visit.parts(middle_s)[0].a_m - visit.target_m).norm() < 1e-9);
    CHECK((visit.parts(visit.start_s)[0].a_m - visit.target_m).norm() > 1);
  }
}

TEST_CASE("what is under the arm is hidden, what is over it is not") {
  const Scene scene = scene_with_arms();
  const ArmVisit visit = arm_visits(scene, 4)[1];  // over the table
  FrameRenderer renderer(scene, 4);
  const int frame = static_cast<int>((visit.start_s + 0.8) * 60);
  const auto seen = [&](const Eigen::Vector3d& x_m) {
    BallSight sight;
    sight.state.x_m = x_m;
    sight.centre_px = *scene.camera.model.project(x_m);
    return renderer.seen_part(sight, frame);
  };
  const Eigen::Vector3d eye = scene.camera.model.eye_in_table_m();
  const Eigen::Vector3d hand = visit.target_m;
  const Eigen::Vector3d down = (hand - eye).normalized();
  CHECK(seen(hand + 0.05 * down) == 0);
  CHECK(seen(hand - 0.10 * down) == 1);

  const YuvPicture with = renderer.render(frame);
  const YuvPicture without = renderer.render_empty();
  const auto px = *scene.camera.model.project(hand);
  const auto at = static_cast<std::size_t>(std::lround(px.y())) * 320 +
                  static_cast<std::size_t>(std::lround(px.x()));
  CHECK(with.y[at] > without.y[at] + 30);
}
