// SPDX-License-Identifier: MIT
#include "calibration/table_ends.h"

#include "calibration/plane_camera.h"
#include "support/calibration_profile.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Bench1 {
  Surface surface =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
          .surface;
  CameraModel camera = [] {
    CameraModel c = plain_camera(640, 360, 430);
    c.camera_from_table = look_at({0.2, -0.3, 2.4}, {0, 0, 0}, {0, 1, 0}, 0);
    return c;
  }();
};

}  // namespace

TEST_CASE("a turned camera shows the same table from the other end") {
  const Bench1 bench;
  const CameraModel turned = half_turn(bench.camera);
  const Eigen::Vector2d a = *bench.camera.project({1.1, 0.4, 0.1});
  const Eigen::Vector2d b = *turned.project({-1.1, -0.4, 0.1});
  CHECK((a - b).norm() < 1e-9);
}

TEST_CASE("the end that was said turns the table or leaves it") {
  const Bench1 bench;  // x runs to the right
  EndChoice choice;
  choice.said = LauncherEnd::kLeft;
  CHECK_FALSE(choose_end(bench.camera, bench.surface, choice).turn);
  choice.said = LauncherEnd::kRight;
  CHECK(choose_end(bench.camera, bench.surface, choice).turn);
  choice.said = LauncherEnd::kTop;
  CHECK_FALSE(choose_end(bench.camera, bench.surface, choice).message.empty());
  // A film stored lying on its side: right as stored is down as shown.
  choice.rotation_deg = 90;
  const auto top = choose_end(bench.camera, bench.surface, choice);
  CHECK(top.message.empty());
  CHECK_FALSE(top.turn);
  choice.said = LauncherEnd::kBottom;
  CHECK(choose_end(bench.camera, bench.surface, choice).turn);
}

TEST_CASE("the balls decide when nothing was said") {
  const Bench1 bench;
  EndChoice choice;
  CHECK_FALSE(choose_end(bench.camera, bench.surface, choice).message.empty());
  choice.flight_along_x = 1;
  CHECK_FALSE(choose_end(bench.camera, bench.surface, choice).turn);
  choice.flight_along_x = -1;
  CHECK(choose_end(bench.camera, bench.surface, choice).turn);
}

TEST_CASE("a half table shows the receiving half") {
  const Bench1 bench;
  EndChoice choice;
  choice.half = true;
  choice.visible_end_is_far = false;
  CHECK(choose_end(bench.camera, bench.surface, choice).turn);
  choice.visible_end_is_far = true;
  CHECK_FALSE(choose_end(bench.camera, bench.surface, choice).turn);
  choice.said = LauncherEnd::kRight;  // where the half in view is
  CHECK(choose_end(bench.camera, bench.surface, choice).wrong_half);
}

// Seen from low and from afar, the far end line is thinner than what cuts are
// made across; it is in the picture all the same.
TEST_CASE("half a table is one whose other end is out of the picture") {
  const Bench1 bench;
  RefinedCamera fit;
  fit.solution.camera = bench.camera;
  const std::vector<SurfaceLine> lines = painted_lines(bench.surface);
  for (const SurfaceLine& line : lines) {
    const bool far_end =
        line.on_border && !line.along_x && line.middle_m(0.5).x() > 0;
    fit.support.push_back({far_end ? 0 : 30, 0});
  }
  CHECK(far_end_in_view(fit, lines));
  CHECK_FALSE(only_one_half(fit, lines));
  fit.solution.camera.camera_from_table =
      look_at({-1, -0.3, 1.6}, {-1, 0, 0}, {0, 1, 0}, 0);
  CHECK_FALSE(far_end_in_view(fit, lines));
  CHECK(only_one_half(fit, lines));
}

TEST_CASE("ends are named by four words") {
  CHECK(parse_launcher_end("") == LauncherEnd::kNotSaid);
  CHECK(parse_launcher_end("bottom") == LauncherEnd::kBottom);
  CHECK_THROWS_AS(parse_launcher_end("north"), UsageError);
}
