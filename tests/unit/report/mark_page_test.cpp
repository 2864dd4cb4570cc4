// SPDX-License-Identifier: MIT
#include "report/mark_page.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

MarkPageInput input() {
  MarkPageInput page;
  page.film = "<b>film</b>.mp4";
  page.picture_jpeg = "fo";
  page.width_px = 640;
  page.height_px = 480;
  page.rotation_deg = 90;
  page.surface.length_m = 2;
  page.surface.width_m = 1;
  // Its outer corners are the surface's; the others lie within.
  page.surface.lines = {{"end_far", {0.98, -0.5}, {1, 0.5}}};
  page.surface.net = {true, 0, 0.15, 0.6};
  page.marks_file = "</script><i>-marks.csv";
  page.command = "evenfeed calibrate '<b>film</b>.mp4'";
  return page;
}

nlohmann::json data_of(const std::string& page) {
  const std::string start = "id=\"mark-data\">";
  const auto from = page.find(start) + start.size();
  return nlohmann::json::parse(
      page.substr(from, page.find("</script>", from) - from));
}

int occurrences(const std::string& text, const std::string& part) {
  int count = 0;
  for (auto at = text.find(part); at != std::string::npos;
       at = text.find(part, at + 1)) {
    ++count;
  }
  return count;
}

}  // namespace

TEST_CASE("points at one place are marked once, by their first name") {
  const auto points = points_to_mark(input().surface);
  // 4 corners, 2 inner corners of the line, 4 of the net.
  REQUIRE(points.size() == 10);
  CHECK(points[0].name == "corner_near_right");
  CHECK(points[4].name == "end_far_near_right");
  CHECK(points[6].name == "net_top_left");
}

TEST_CASE("the page holds its picture and every point, and fetches nothing") {
  const std::string page = mark_page(input());
  CHECK(page.find("default-src 'none'") != std::string::npos);
  CHECK(page.find("img-src data:") != std::string::npos);
  CHECK(occurrences(page, "src=\"data:image/jpeg;base64,Zm8=\"") == 1);
  // Turned by 90 degrees it is higher than wide.
  CHECK(page.find("width=\"480\" height=\"640\"") != std::string::npos);
  CHECK(occurrences(page, "<button type=\"button\" data-point=\"") == 10);
  CHECK(occurrences(page, "\"spot") == 10);
  const auto data = data_of(page);
  CHECK(data["points"].size() == 10);
  CHECK(data["width"] == 640);
  CHECK(data["turn"] == 90);
  CHECK(data["lens"].is_null());
  // Border and line, foot, top and posts of the net.
  CHECK(data["edges"].size() == 12);
}

TEST_CASE("a film's name does nothing on the page") {
  const std::string page = mark_page(input());
  CHECK(page.find("<b>film") == std::string::npos);
  CHECK(page.find("</script><i>") == std::string::npos);
  CHECK(data_of(page)["file"] == "</script><i>-marks.csv");
  CHECK(page.find("&lt;b&gt;film") != std::string::npos);
}

TEST_CASE("marks made before are there, under the page's names") {
  MarkPageInput page = input();
  page.marks = {{"end_far_far_left", {12.5, 3}}, {"net_top_left", {1, 2}}};
  page.lens = LensModel<double>{600, 319.5, 239.5, -0.1, 0};
  const auto data = data_of(mark_page(page));
  REQUIRE(data["marks"].size() == 2);
  CHECK(data["marks"][0]["name"] == "corner_far_left");
  CHECK(data["marks"][0]["picture"][0] == 12.5);
  CHECK(data["marks"][1]["name"] == "net_top_left");
  CHECK(data["lens"]["focal"] == 600);
  CHECK(data["lens"]["k1"] == -0.1);
}
