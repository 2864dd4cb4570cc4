// SPDX-License-Identifier: MIT
#include "session/flights_file.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Invented; a feed with a return, one that was not fitted, one more.
std::vector<FlownFeed> three_feeds() {
  std::vector<FlownFeed> feeds(3);
  const FlightMark marks[] = {FlightMark::kNone,
                              FlightMark::kBounce,
                              FlightMark::kContact,
                              FlightMark::kHighest,
                              FlightMark::kNet};
  for (int f = 0; f < 3; ++f) {
    feeds[f].number = f + 4;
    if (f == 1) continue;
    for (int i = 0; i < 5; ++i) {
      FlownPoint point;
      point.leg = static_cast<Leg>(i / 2);
      point.mark = marks[i];
      point.t_s = f + 0.01 * i;
      point.x_in_table_m = {0.1 * i, -0.2, 0.3};
      point.film_px = point.place_px = {100.5 + i, 50.2};
      feeds[f].path.push_back(point);
    }
  }
  return feeds;
}

}  // namespace

TEST_CASE("flights are read back as they were written") {
  const auto feeds = three_feeds();
  const auto read =
      read_flights(CsvTable::parse(flights_text(feeds), "flights.csv"));
  REQUIRE(read.size() == 2);
  CHECK(read[0].number == 4);
  CHECK(read[1].number == 6);
  REQUIRE(read[1].path.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(read[1].path[i].leg == feeds[2].path[i].leg);
    CHECK(read[1].path[i].mark == feeds[2].path[i].mark);
    CHECK(read[1].path[i].t_s == doctest::Approx(feeds[2].path[i].t_s));
    CHECK(
        (read[1].path[i].x_in_table_m - feeds[2].path[i].x_in_table_m).norm() <
        1e-4);
    CHECK((read[1].path[i].film_px - feeds[2].path[i].film_px).norm() < 0.1);
  }
}

TEST_CASE("a file of flights is refused by place") {
  const std::string head = "feed,leg,t_s,x_mm,y_mm,z_mm,u_px,v_px,mark\n";
  const auto read = [](const std::string& text) {
    return read_flights(CsvTable::parse(text, "flights.csv"));
  };
  CHECK(read(head + "1,in,0,0,0,0,0,0,\n").size() == 1);
  CHECK_THROWS_WITH_AS(read(head + "1,up,0,0,0,0,0,0,\n"),
                       doctest::Contains("flights.csv:2, column 'leg'"),
                       InputError);
  CHECK_THROWS_WITH_AS(read(head + "1,in,0,0,0,0,0,0,kiss\n"),
                       doctest::Contains("column 'mark'"),
                       InputError);
  CHECK_THROWS_AS(read(head + "1,in,,0,0,0,0,0,\n"), InputError);
  CHECK_THROWS_AS(read("feed,leg\n1,in\n"), InputError);
}
