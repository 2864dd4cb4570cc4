// SPDX-License-Identifier: MIT
#include "calibration/surface_lines.h"

#include "support/calibration_profile.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Surface table() {
  return load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
      .surface;
}

const SurfaceLine& named(const std::vector<SurfaceLine>& lines,
                         const std::string& name) {
  for (const SurfaceLine& line : lines) {
    if (line.name == name) return line;
  }
  FAIL("no line named " << name);
  return lines.front();
}

}  // namespace

// Source: ITTF, The Laws of Table Tennis, clause numbers at each check.
TEST_CASE("the table of the profile is that of the Laws of Table Tennis") {
  const Surface surface = table();
  CHECK(surface.length_m == doctest::Approx(2.74));              // 2.1.1
  CHECK(surface.width_m == doctest::Approx(1.525));              // 2.1.1
  CHECK(surface.height_above_floor_m == doctest::Approx(0.76));  // 2.1.1
  const auto lines = painted_lines(surface);
  REQUIRE(lines.size() == 5);
  for (const char* border :
       {"end_near", "end_far", "side_left", "side_right"}) {
    const SurfaceLine& line = named(lines, border);
    CHECK(line.width_m() == doctest::Approx(0.02));  // 2.1.4
    CHECK(line.on_border);
  }
  CHECK(named(lines, "side_left").length_m() ==
        doctest::Approx(2.74));                                         // 2.1.4
  CHECK(named(lines, "end_far").length_m() == doctest::Approx(1.525));  // 2.1.4
  CHECK(named(lines, "centre").width_m() == doctest::Approx(0.003));    // 2.1.6
  CHECK(named(lines, "centre").along_x);
  CHECK_FALSE(named(lines, "centre").on_border);
  REQUIRE(surface.net.present);
  CHECK(surface.net.height_m == doctest::Approx(0.1525));        // 2.2.2
  CHECK(2 * surface.net.half_width_m == doctest::Approx(1.83));  // 2.2.2
}

TEST_CASE("the table looks the same from both ends, a cricket strip does not") {
  Surface surface = table();
  CHECK(is_half_turn_symmetric(surface));
  surface.net.x_m = 0.01;
  CHECK_FALSE(is_half_turn_symmetric(surface));
  surface = table();
  surface.lines.pop_back();  // the centre line maps onto itself
  CHECK(is_half_turn_symmetric(surface));
  surface.lines.pop_back();  // one side line does not
  CHECK_FALSE(is_half_turn_symmetric(surface));
}

TEST_CASE("the tape's outline lies on the far side from the camera") {
  const Net net = table().net;
  CHECK(net_tape(net, 0.015, 0.001, 1.0).low_m(0.5).x() < 0);
  CHECK(net_tape(net, 0.015, 0.001, -1.0).low_m(0.5).x() > 0);
  auto lines = painted_lines(table());
  lines.push_back(net_tape(net, 0.015, 0.001, 1.0));
  const auto turned = facing(lines, net, -1.0);
  CHECK(turned.back().low_m(0.5).x() > 0);
  CHECK(turned.back().low_m(0.5).z() == doctest::Approx(0.1525));
}
