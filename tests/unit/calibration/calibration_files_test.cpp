// SPDX-License-Identifier: MIT
#include "calibration/calibration_files.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Surface table() {
  return load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
      .surface;
}

std::string marks_refusal(const std::string& text) {
  try {
    parse_marks(text, "marks.csv", table());
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

std::string lens_refusal(const std::string& text) {
  try {
    parse_lens(text, "lens.toml");
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("marks are read by name") {
  const auto marks = parse_marks(
      "v_px,name,u_px,s_px\n20.5,corner_near_left,10,\n1,net_top_right,2,0.4\n",
      "marks.csv",
      table());
  REQUIRE(marks.size() == 2);
  CHECK(marks[0].picture_px.x() == 10);
  CHECK(marks[0].picture_px.y() == 20.5);
  CHECK(marks[0].x_in_table_m.y() == doctest::Approx(0.7625));
  CHECK(marks[0].sigma_px == 1);
  CHECK(marks[1].sigma_px == 0.4);
  CHECK(marks[1].x_in_table_m.z() == doctest::Approx(0.1525));
}

TEST_CASE("bad marks are refused by line, with the names that are allowed") {
  const std::string unknown =
      marks_refusal("name,u_px,v_px\ncorner_left,1,2\n");
  CHECK(unknown.find("marks.csv:2") == 0);
  CHECK(unknown.find("corner_near_left") != std::string::npos);
  CHECK(marks_refusal("name,u_px,v_px\nend_far_far_left,1,2\n"
                      "end_far_far_left,3,4\n")
            .find("stands twice") != std::string::npos);
  CHECK(marks_refusal("name,u_px,v_px\ncorner_near_left,nan,2\n")
            .find("marks.csv:2, column 'u_px'") == 0);
  CHECK(marks_refusal("name,u_px\n").find("v_px") != std::string::npos);
  CHECK(marks_refusal("name,u_px,v_px,s_px\ncorner_near_left,1,2,0\n")
            .find("not greater than 0") != std::string::npos);
}

TEST_CASE("a lens file is read and fitted to pictures of the same shape") {
  const LensFile file = parse_lens(
      "width_px = 1920\nheight_px = 1080\nfocal_px = 1500.0\nk1 = -0.05\n"
      "k2 = 0.0\nexposure_ms = 2.0\n",
      "lens.toml");
  CHECK(file.exposure_s == doctest::Approx(0.002));
  CHECK_FALSE(file.readout_s);
  CHECK(file.lens.lens.centre_u_px == 959.5);
  const KnownLens half = lens_for_size(file.lens, 960, 540);
  CHECK(half.lens.focal_px == 750);
  CHECK(half.lens.centre_u_px == 479.5);
  CHECK_THROWS_AS(lens_for_size(file.lens, 1280, 960), InputError);
}

TEST_CASE("bad lens files are refused by key") {
  const std::string good =
      "width_px = 1920\nheight_px = 1080\nfocal_px = 1500.0\nk1 = -0.05\n";
  CHECK(lens_refusal(good).find("k2") != std::string::npos);
  CHECK(lens_refusal(good + "k2 = 0.0\nfocus = 1\n").find("focus") !=
        std::string::npos);
  CHECK(lens_refusal("width_px = 1920\nheight_px = 1080\nfocal_px = -1.0\n"
                     "k1 = 0.0\nk2 = 0.0\n")
            .find("focal_px") != std::string::npos);
}

TEST_CASE("the profile's limits are read, and wrong ones refused") {
  const auto parse = [](const std::string& text) {
    const TomlTable root = TomlTable::parse(text, "p.toml");
    return load_calibration_limits(root.table_or_empty("calibration"));
  };
  CHECK(parse("").max_residual_px == 1.5);
  CHECK(parse("[calibration]\nmax_residual_mm = 2.5\n").max_residual_m ==
        doctest::Approx(0.0025));
  CHECK_THROWS_AS(parse("[calibration]\nmax_residual_px = 0\n"), InputError);
  CHECK_THROWS_AS(parse("[calibration]\nmax_residual_px = nan\n"), InputError);
}
