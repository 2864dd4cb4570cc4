// SPDX-License-Identifier: MIT
#include "quality/trial_table.h"

#include "base/error.h"
#include "flight/characteristics.h"
#include "quality/words.h"

#include <cmath>

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

TrialTable read(const std::string& text,
                const std::vector<std::string>& wanted = {},
                Wanted how = Wanted::kRequired) {
  return read_trial(CsvTable::parse(text, "f.csv"), wanted, how);
}

std::string refusal(const std::string& text,
                    const std::vector<std::string>& wanted = {}) {
  try {
    read(text, wanted);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("trial: default columns, sigmas, missing and unmeasured") {
  const TrialTable t = read(
      "status,y_mm,x_mm,feed,sx_mm,s_y_mm,sy_mm,note\n"
      "measured,1,10,1,0.5,9,0.7,\n"
      "unmeasured,,77,2,,,,lost behind the net\n"
      "extrapolated,2,,4,,,,\n"
      "measured,3,30,5,0.6,9,0.8,\n"
      "measured,,,6,,,,\n");
  CHECK(t.characteristics == std::vector<std::string>{"x_mm", "y_mm"});
  CHECK(t.feeds == std::vector<int>{1, 2, 4, 5, 6});
  CHECK(t.values(0, 0) == 10);
  CHECK(std::isnan(t.values(1, 0)));  // what stands there is not measured
  CHECK(std::isnan(t.values(2, 0)));
  CHECK(t.values(2, 1) == 2);  // an extrapolated landing counts
  CHECK(t.sigmas(0, 0) == 0.5);
  CHECK(t.sigmas(3, 1) == 0.8);
  CHECK(t.unmeasured[0].empty());
  CHECK(t.unmeasured[1] == "lost behind the net");
  CHECK(t.unmeasured[4].find("none of the judged") != std::string::npos);
  REQUIRE(t.warnings.size() == 1);
  CHECK(t.warnings[0].find("1 feed numbers") != std::string::npos);
}

TEST_CASE("trial: what cannot be is refused with its place") {
  CHECK(refusal("feed,x_mm,sx_mm\n1,5,0.5\n2,6,-0.5\n", {"x_mm"}) ==
        "f.csv:3, column 'sx_mm': -0.5 is below 0. A standard uncertainty is 0 "
        "or more.");
  CHECK(refusal("feed,x_mm,status\n1,5,measured\n2,6,maybe\n", {"x_mm"})
            .find("f.csv:3, column 'status': 'maybe'") == 0);
  CHECK(refusal("feed,x_mm,t_bounce_s\n1,5,9\n2,6,\n3,7,4\n", {"x_mm"})
            .find("f.csv:4, column 't_bounce_s': 4 comes after 9") == 0);
  // Two balls in the air at a time.
  CHECK(refusal("feed,x_mm,t_bounce_s\n1,5,9\n2,6,8.9\n3,7,10\n", {"x_mm"})
            .empty());
  for (const char* number : {"1e300", "2.5", "-1e10"}) {
    CHECK(refusal(std::string("feed,x_mm\n") + number + ",5\n", {"x_mm"})
              .find("is not a whole number") != std::string::npos);
  }
  CHECK_THROWS_AS(read("feed,a\n1,1\n2,2\n", {"a", "a"}), UsageError);
  CHECK_THROWS_AS(read("feed,a\n1,1\n2,2\n", {"feed"}), UsageError);
}

TEST_CASE("trial: columns that cannot be judged are left out and named") {
  const TrialTable t = read(
      "feed,a,b,c\n1,1,5,\n2,2,5,\n3,3,5,1\n4,4,5,\n5,5,5,\n", {"a", "b", "c"});
  CHECK(t.characteristics == std::vector<std::string>{"a"});
  REQUIRE(t.warnings.size() == 2);
  CHECK(t.warnings[0].find("b is not judged: it is the same") == 0);
  CHECK(t.warnings[1].find("c is not judged: it is known for 1 of 5") == 0);
  CHECK(
      read("feed,a\n1,1\n2,4\n", {"a", "none"}, Wanted::kIfPresent).columns() ==
      1);
}

TEST_CASE("trial: refusals") {
  CHECK(refusal("x_mm\n1\n").find("no column 'feed'") != std::string::npos);
  CHECK(refusal("feed,x_mm\n1.5,1\n").find("f.csv:2") != std::string::npos);
  CHECK(refusal("feed,x_mm\n2,1\n2,3\n").find("feed 2 comes after feed 2") !=
        std::string::npos);
  CHECK(refusal("feed,x_mm\n2,1\n1,3\n").find("Sort the rows") !=
        std::string::npos);
  CHECK(refusal("feed,x_mm\n1,1\n", {"y_mm"}).find("no column 'y_mm'") !=
        std::string::npos);
  CHECK(refusal("feed,colour\n1,1\n").find("--characteristics") !=
        std::string::npos);
  CHECK(refusal("feed,x_mm\n1,abc\n").find("column 'x_mm'") !=
        std::string::npos);
  CHECK(refusal("feed,x_mm\n1,inf\n").find("'inf' is not a number") !=
        std::string::npos);
}

TEST_CASE("trial: a header without a feed is refused") {
  CHECK(refusal("feed,x_mm,y_mm\n").find("f.csv: no feed stands below") == 0);
}

TEST_CASE("trial: words") {
  CHECK(characteristic_words("x_mm") == "landing along the table");
  CHECK(characteristic_words("along_mm") == "along_mm");
  CHECK(characteristic_value("along_mm", 12.34) == "12.3 mm");
  CHECK(characteristic_value("speed_mps", 4.1234) == "4.123 m/s");
  CHECK(characteristic_value("kick", 0.7) == "0.7000");
  CHECK(characteristic_value("x_mm", NAN) == "unknown");
  for (const CharacteristicInfo& one : characteristics()) {
    CAPTURE(one.column);
    const std::string name(one.column);
    CHECK(characteristic_words(name) == one.words);
    // A screen never shows more than the file knows.
    CHECK(shown_decimals(name) <= one.decimals);
    CHECK(characteristic_value(name, 1).find(
              fmt::format("{:.{}f}", 1.0, shown_decimals(name))) == 0);
  }
}
