// SPDX-License-Identifier: MIT
#include "calibration/marks_file.h"

#include "base/error.h"
#include "support/calibration_profile.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Surface marked_table() {
  return load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
      .surface;
}

std::string refusal(const std::string& text) {
  try {
    (void)parse_marks(text, "marks.csv", marked_table());
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("marks are read by name") {
  const auto [marks, size] = parse_marks(
      "v_px,name,u_px,s_px\n20.5,corner_near_left,10,\n1,net_top_right,2,0.4\n",
      "marks.csv",
      marked_table());
  REQUIRE(marks.size() == 2);
  CHECK(marks[0].picture_px.x() == 10);
  CHECK(marks[0].picture_px.y() == 20.5);
  CHECK(marks[0].x_in_table_m.y() == doctest::Approx(0.7625));
  CHECK(marks[0].sigma_px == 1);
  CHECK(marks[1].sigma_px == 0.4);
  CHECK(marks[1].x_in_table_m.z() == doctest::Approx(0.1525));
  CHECK_FALSE(size);
}

TEST_CASE("marks tell the size of the pictures they are from") {
  const auto file = parse_marks(
      "name,u_px,v_px,width_px,height_px\ncorner_near_left,1,2,640,480\n"
      "corner_near_right,1,9,640,480\n",
      "marks.csv",
      marked_table());
  REQUIRE(file.size);
  CHECK(file.size->width_px == 640);
  CHECK(file.size->height_px == 480);
  CHECK_NOTHROW(check_marks_size(*file.size, 640, 480));
  CHECK_THROWS_AS(check_marks_size(*file.size, 480, 640), InputError);
  CHECK_THROWS_AS(check_marks_size(*file.size, 640, 360), InputError);
}

TEST_CASE("bad marks are refused by line, with the names that are allowed") {
  const std::string unknown = refusal("name,u_px,v_px\ncorner_left,1,2\n");
  CHECK(unknown.find("marks.csv:2") == 0);
  CHECK(unknown.find("corner_near_left") != std::string::npos);
  CHECK(refusal("name,u_px,v_px\nend_far_far_left,1,2\n"
                "end_far_far_left,3,4\n")
            .find("stands twice") != std::string::npos);
  CHECK(refusal("name,u_px,v_px\ncorner_near_left,nan,2\n")
            .find("marks.csv:2, column 'u_px'") == 0);
  CHECK(refusal("name,u_px\n").find("v_px") != std::string::npos);
  CHECK(refusal("name,u_px,v_px,s_px\ncorner_near_left,1,2,0\n")
            .find("not greater than 0") != std::string::npos);
}

TEST_CASE("a file without a point is not taken for none being given") {
  CHECK(refusal("name,u_px,v_px\n").find("no point stands in it") !=
        std::string::npos);
}

TEST_CASE("sizes that are none, differ or lack a side are refused by cell") {
  const std::string header = "name,u_px,v_px,width_px,height_px\n";
  CHECK(refusal(header + "corner_near_left,1,2,640,48.5\n")
            .find("marks.csv:2, column 'height_px'") == 0);
  CHECK(refusal(header + "corner_near_left,1,2,0,480\n").find("width_px") !=
        std::string::npos);
  CHECK(refusal(header + "corner_near_left,1,2,640,\n").find("height_px") !=
        std::string::npos);
  const std::string differ = refusal(
      header + "corner_near_left,1,2,640,480\ncorner_far_left,1,2,640,360\n");
  CHECK(differ.find("marks.csv:3") == 0);
  CHECK(differ.find("640 x 360") != std::string::npos);
  CHECK(refusal("name,u_px,v_px,width_px\ncorner_near_left,1,2,640\n")
            .find("height_px") != std::string::npos);
}
