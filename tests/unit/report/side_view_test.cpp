// SPDX-License-Identifier: MIT
#include "report/side_view.h"

#include "report/returns_section.h"
#include "report/take_away.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <regex>

#include "drawing_look.h"
#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

// Invented: down to a bounce, up to the sample, back in straight lines over a
// highest place and the net to a landing at -300 mm, and on from there.
FlownFeed invented_flight(int number, double higher_m = 0) {
  FlownFeed feed;
  feed.number = number;
  double t_s = number;
  const auto add = [&](Leg leg, double x, double z, FlightMark mark) {
    FlownPoint point;
    point.leg = leg;
    point.mark = mark;
    point.t_s = t_s;
    point.x_in_table_m = {x, 0.01, z};
    feed.path.push_back(point);
    t_s += 0.01;
  };
  add(Leg::kIn, -1.5, 0.3, FlightMark::kNone);
  add(Leg::kIn, 0.8, 0.02, FlightMark::kBounce);
  add(Leg::kOut, 0.8, 0.02, FlightMark::kNone);
  add(Leg::kOut, 1.4, 0.25, FlightMark::kContact);
  add(Leg::kBack, 1.4, 0.25 + higher_m, FlightMark::kNone);
  add(Leg::kBack, 0.7, 0.55 + higher_m, FlightMark::kHighest);
  add(Leg::kBack, 0, 0.29 + higher_m, FlightMark::kNet);
  add(Leg::kBack, -0.3, 0.02 + higher_m, FlightMark::kNone);
  t_s -= 0.01;
  add(Leg::kBack, -0.3, 0.02 + higher_m, FlightMark::kNone);
  add(Leg::kBack, -0.9, 0.4, FlightMark::kNone);
  return feed;
}

double attribute(const std::string& svg,
                 const std::string& element,
                 const std::string& name) {
  const std::size_t at = svg.find(element);
  REQUIRE(at != std::string::npos);
  const std::size_t from = svg.find(" " + name + "=\"", at);
  REQUIRE(from != std::string::npos);
  return std::stod(svg.substr(from + name.size() + 3));
}

// The smallest x that any flight reaches.
double leftmost_return(const std::string& svg) {
  static const std::regex line(
      "class=\"flight back[^\"]*\" points=\"([^\"]*)\"");
  double left = std::numeric_limits<double>::infinity();
  for (std::sregex_iterator it(svg.begin(), svg.end(), line), end; it != end;
       ++it) {
    std::istringstream points((*it)[1].str());
    for (std::string point; points >> point;) {
      left = std::min(left, std::stod(point));
    }
  }
  return left;
}

}  // namespace

TEST_CASE("flights from the side are to scale, over table and net") {
  const FlownFeed one = invented_flight(7);
  const auto svg = side_view({{"", "keep", {&one}}}, table_tennis());
  REQUIRE(svg);
  const double px_per_mm = attribute(*svg, "class=\"surface\"", "width") / 2740;
  CHECK(attribute(*svg, "class=\"surface\"", "height") / px_per_mm ==
        doctest::Approx(25).epsilon(0.01));
  const double net_px = attribute(*svg, "class=\"net\"", "y1") -
                        attribute(*svg, "class=\"net\"", "y2");
  CHECK(net_px / px_per_mm == doctest::Approx(152.5).epsilon(0.01));
  // The highest place, as drawn, is 550 mm above the table's top.
  const std::size_t at = svg->find(
      "feed 7, highest place of the return: x 700 "
      "mm, 550 mm above the table");
  REQUIRE(at != std::string::npos);
  const std::size_t path = svg->rfind(" d=\"M", at);
  const std::string peak = svg->substr(path + 5, 30);
  const double top_px = attribute(*svg, "class=\"surface\"", "y") -
                        std::stod(peak.substr(peak.find(' ')));
  CHECK(top_px / px_per_mm ==
        doctest::Approx(550 + 1.2 * 5 / px_per_mm).epsilon(0.001));
}

TEST_CASE("bounce, contact, highest place and net crossing are marked") {
  const FlownFeed one = invented_flight(1), two = invented_flight(2);
  const auto svg =
      side_view({{"sheet K", "keep", {&one}}, {"sheet M", "review", {&two}}},
                table_tennis());
  REQUIRE(svg);
  for (const char* words : {"bounce: x 800 mm, 20 mm",
                            "contact: x 1400 mm, 250 mm",
                            "highest place of the return: x 700 mm, 550 mm",
                            "over the net: x 0 mm, 290 mm"}) {
    CAPTURE(words);
    CHECK(occurrences(*svg, words) == 2);
  }
  CHECK(occurrences(*svg, "<title>sheet M, feed 2, ") == 4);
  CHECK(occurrences(*svg, ">net<") == 1);
  CHECK(occurrences(*svg, ">sample<") == 1);
  const DrawingLooks looks = looks_of(*svg);
  CHECK(looks.unknown == std::set<std::string>());
  CHECK(looks.seen > 15);
}

TEST_CASE("a return is drawn as far as its landing, not what it did then") {
  const FlownFeed one = invented_flight(1);
  const auto svg = side_view({{"", "keep", {&one}}}, table_tennis());
  REQUIRE(svg);
  const double px_per_mm = attribute(*svg, "class=\"surface\"", "width") / 2740;
  const double net_px = attribute(*svg, "class=\"net\"", "x1");
  CHECK(leftmost_return(*svg) - net_px ==
        doctest::Approx(-300 * px_per_mm).epsilon(0.01));
}

TEST_CASE("no flight, no drawing") {
  CHECK_FALSE(side_view({}, table_tennis()));
  CHECK_FALSE(side_view({{"", "keep", {}}}, table_tennis()));
  const FlownFeed one = invented_flight(1);
  CHECK(side_view({{"", "keep", {&one}}}, std::nullopt));
}

// By hand: 50 and 150 mm above one return the mean of the three is 200 / 3 mm
// above it; a return that was lost at the net does not count beyond it.
TEST_CASE("the mean return is the mean height where half of them are") {
  const FlownFeed low = invented_flight(1), high = invented_flight(2, 0.05),
                  highest = invented_flight(3, 0.15);
  FlownFeed lost = invented_flight(4);
  lost.path.resize(7);
  const auto mean = mean_return_mm({&low, &high, &highest});
  REQUIRE(mean.size() == 171);  // -300 to 1400 in steps of 10
  CHECK(mean.front().x() == doctest::Approx(-300));
  CHECK(mean.front().y() == doctest::Approx(20 + 200.0 / 3));
  CHECK(mean.back().y() == doctest::Approx(250 + 200.0 / 3));
  CHECK(mean[100].y() == doctest::Approx(550 + 200.0 / 3));
  CHECK(mean_return_mm({&low}).empty());
  const auto beside_lost = mean_return_mm({&low, &lost, &lost});
  CHECK(beside_lost.front().x() == doctest::Approx(0));
  CHECK(beside_lost.front().y() == doctest::Approx(290));
}

TEST_CASE("the report draws the flights of the feeds that may be used") {
  ReportInput input;
  CHECK(returns_section(input).empty());
  input.surface = table_tennis();
  for (int number = 1; number <= 3; ++number) {
    JudgedFeed one;
    one.feed.number = number;
    one.verdict = number == 2 ? "discard" : "keep";
    input.feeds.push_back(one);
    input.flights.push_back(invented_flight(number));
  }
  input.judged = true;
  const std::string html = returns_section(input);
  CHECK(occurrences(html, "data-name=\"flights\"") == 1);
  CHECK(occurrences(html, "class=\"flight back keep\"") == 2);
  CHECK(html.find("feed 2, ") == std::string::npos);
  CHECK(html.find("2 feeds that may be used") != std::string::npos);
  CHECK(session_drawings(input).front().name == "flights");
  input.judged = false;
  CHECK(occurrences(returns_section(input), "class=\"flight back keep\"") == 3);
  input.flights.clear();
  CHECK(returns_section(input).empty());
}

}  // namespace evenfeed
