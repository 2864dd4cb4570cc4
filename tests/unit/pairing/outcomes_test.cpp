// SPDX-License-Identifier: MIT
#include "pairing/outcomes.h"

#include "base/error.h"
#include "pairing/sample.h"
#include "pairing/words.h"
#include "unit/pairing/invented_samples.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("outcomes from columns and from files") {
  const std::string head = "feed,x_mm,y_mm,ret_speed_mps,ret_note\n";
  const CsvTable a = csv(head + rows(5, ",4.5,ok"), "a.csv");
  const CsvTable b = csv(head + rows(5, ",4.1,ok"), "b.csv");
  const Samples samples =
      read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm"}, true, {});
  const Outcomes own = read_outcomes(samples.all, {a, b}, false, {});
  REQUIRE(own.all.size() == 1);
  CHECK(own.all[0].values[0](2) == 4.5);
  CHECK(has(own.warnings, "ret_note"));

  const CsvTable out_a =
      csv("feed,landed,s_length_mm,length_mm\n3,yes,2,40\n1,No,2,\n9,yes,2,1\n",
          "out_a.csv");
  const CsvTable out_b =
      csv("feed,landed,s_length_mm,length_mm\n2,true,2,41\n", "out_b.csv");
  const Outcomes other = read_outcomes(samples.all, {out_a, out_b}, true, {});
  REQUIRE(other.all.size() == 2);
  CHECK(other.all[0].kind == OutcomeKind::kYesNo);
  CHECK(other.all[1].kind == OutcomeKind::kNumber);
  CHECK(other.all[0].values[0](0) == 0);
  CHECK(other.all[0].values[0](2) == 1);
  CHECK_FALSE(std::isfinite(other.all[0].values[0](1)));
  CHECK(other.all[1].sigmas[0](2) == 2);

  const CsvTable twice = csv("feed,landed\n1,yes\n1,no\n", "twice.csv");
  CHECK_THROWS_AS(read_outcomes(samples.all, {twice, out_b}, true, {}),
                  InputError);
  const CsvTable others = csv("feed,landed\n77,yes\n", "others.csv");
  CHECK_THROWS_AS(read_outcomes(samples.all, {others, out_b}, true, {}),
                  InputError);
  CHECK_THROWS_AS(read_outcomes(samples.all, {a, b}, false, {"colour"}),
                  InputError);
  CHECK_THROWS_AS(read_outcomes(samples.all, {a, b}, false, {"ret_note"}),
                  InputError);
  CHECK(outcome_words("ret_speed_mps") == "return speed");
  CHECK(outcome_words("landed") == "landed");
  CHECK(outcome_words("ret_t_net_s") == "time of the return to the net");
  CHECK(outcome_words("ret_net_height_mm") ==
        "height of the return at the net");
}

TEST_CASE("an outcome known for one sample only") {
  const CsvTable a =
      csv("feed,x_mm,y_mm,ret_speed_mps,ret_net_height_mm,ret_x_mm,ret_y_mm\n" +
              rows(5, ",4.5,180,,"),
          "a.csv");
  const CsvTable b =
      csv("feed,x_mm,y_mm,ret_speed_mps,ret_net_height_mm,ret_x_mm,"
          "ret_angle_deg\n" +
              rows(5, ",4.1,,,30"),
          "b.csv");
  const Samples samples =
      read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm"}, true, {});
  const Outcomes own = read_outcomes(samples.all, {a, b}, false, {});
  REQUIRE(own.all.size() == 1);
  CHECK(own.all[0].name == "ret_speed_mps");
  REQUIRE(own.warnings.size() == 2);
  CHECK(own.warnings[0] ==
        "Not compared: height of the return at the net is not known for any "
        "feed of M that "
        "may be used.");
  CHECK(
      has(own.warnings, "angle of the return is not known for any feed of K"));
  // Empty in both, or missing in one and empty in the other: no news.
  CHECK_FALSE(has(own.warnings, "landing of the return along"));
  CHECK_FALSE(has(own.warnings, "ret_y_mm"));

  // Asked for by name it is an error, by name.
  int refused = 0;
  for (const char* name : {"ret_net_height_mm", "ret_x_mm", "ret_angle_deg"}) {
    CHECK_THROWS_WITH_AS(read_outcomes(samples.all, {a, b}, false, {name}),
                         doctest::Contains(name),
                         InputError);
    ++refused;
  }
  CHECK(refused == 3);

  // The same in files of outcomes, as long as something is left of them.
  const CsvTable out_a = csv("feed,landed,height\n1,yes,3\n2,no,4\n", "oa.csv");
  const CsvTable out_b = csv("feed,landed,height\n1,yes,\n2,no,\n", "ob.csv");
  const Outcomes other = read_outcomes(samples.all, {out_a, out_b}, true, {});
  CHECK(other.all.size() == 1);
  CHECK(has(other.warnings, "height is not known for any feed of M"));
  const CsvTable bare_a = csv("feed,height\n1,3\n", "oa.csv");
  const CsvTable bare_b = csv("feed,height\n1,\n", "ob.csv");
  CHECK_THROWS_WITH_AS(read_outcomes(samples.all, {bare_a, bare_b}, true, {}),
                       doctest::Contains("'height' is not known for any feed"),
                       InputError);
}

TEST_CASE(
    "a slip in a column of outcomes is refused, a column of words is none") {
  const CsvTable a = csv("feed,x_mm,y_mm\n" + rows(5, ""), "a.csv");
  const Samples samples = read_samples({a, a}, {"K", "M"}, {"x_mm"}, true, {});
  const CsvTable sound = csv("feed,high,note\n1,3,a\n2,4,b\n3,5,7\n", "oa.csv");
  const CsvTable slip = csv("feed,high\n1,3\n2,4\n3,17 cm\n", "ob.csv");
  CHECK_THROWS_WITH_AS(read_outcomes(samples.all, {sound, slip}, true, {}),
                       doctest::Contains("ob.csv:4, column 'high': '17 cm'"),
                       InputError);
  const Outcomes read = read_outcomes(samples.all, {sound, sound}, true, {});
  CHECK(read.all.size() == 1);
  CHECK(has(read.warnings, "note of oa.csv is not compared"));
}

TEST_CASE("returns of two films are off alike, of one film not") {
  const CsvTable table =
      csv("feed,x_mm,y_mm,ret_speed_mps,ret_angle_deg\n" + rows(12, ",4.1,30"));
  const auto read = [&](const std::vector<SharedUncertainty>& films) {
    const Samples samples = read_samples(
        {table, table}, {"K", "M"}, {"x_mm", "y_mm"}, true, {}, films);
    return read_outcomes(samples.all, {table, table}, false, {});
  };
  const SharedUncertainty film{{{"x_mm", 1}}, {}};
  const Outcomes two = read({film, film});
  REQUIRE(two.all.size() == 2);
  CHECK(two.all[0].shared == std::vector<double>{0.010, 0.010});
  CHECK(two.all[1].shared == std::vector<double>{0, 0});
  CHECK(read({}).all[0].shared == std::vector<double>{0, 0});
  // What a session tells of it counts.
  const SharedUncertainty told{{{"ret_speed_mps", 0.02}}, {}};
  CHECK(read({told, told}).all[0].shared == std::vector<double>{0.02, 0.02});
}

TEST_CASE("readings that tell less than all of them together") {
  std::string k = "feed,x_mm,y_mm,ret_speed_mps,s_ret_speed_mps\n";
  std::string m = k;
  for (int i = 1; i <= 10; ++i) {
    const std::string feed = std::to_string(i) + "," +
                             std::to_string(600 + 7 * (i * 37 % 11)) + "," +
                             std::to_string(20 + i * 13 % 7);
    k += feed + ",4." + std::to_string(i % 5) + (i == 4 ? ",0.9\n" : ",0.01\n");
    m += feed + ",4." + std::to_string(i % 5) + ",0.05\n";
  }
  const CsvTable a = csv(k, "a.csv");
  const CsvTable b = csv(m, "b.csv");
  const Samples samples =
      read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm"}, true, {});
  const Outcomes got = read_outcomes(samples.all, {a, b}, false, {});
  REQUIRE(got.all.size() == 1);
  CHECK_FALSE(std::isfinite(got.all[0].values[0](3)));
  CHECK(got.all[0].values[0].array().isFinite().count() == 9);
  CHECK(got.all[0].values[1].array().isFinite().count() == 10);
  REQUIRE(got.warnings.size() == 1);
  CHECK(got.warnings[0].find("1 of 10 readings of ret_speed_mps of K") == 0);
}
