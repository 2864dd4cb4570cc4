// SPDX-License-Identifier: MIT
#include "pairing/comparison.h"

#include "base/error.h"
#include "pairing/comparison_files.h"
#include "pairing/trial_sheet.h"
#include "pairing/words.h"
#include "quality/trial_table.h"
#include "unit/pairing/invented_samples.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

bool has(const std::vector<std::string>& lines, const std::string& part) {
  return std::any_of(lines.begin(), lines.end(), [&](const auto& line) {
    return line.find(part) != std::string::npos;
  });
}

Samples two_samples(double shift) {
  Samples samples;
  samples.all = {invented_sample("K", 60, shift, 1),
                 invented_sample("M", 60, 0, 2)};
  samples.characteristics = samples.all[0].characteristics;
  return samples;
}

Outcomes speeds(const Samples& samples, double truth) {
  Outcomes outcomes;
  outcomes.all.push_back(
      number_outcome("ret_speed_mps",
                     {invented_outcome(samples.all[0], 0.01, truth, 0.3, 3),
                      invented_outcome(samples.all[1], 0.01, 0, 0.3, 4)}));
  return outcomes;
}

CsvTable csv(const std::string& text, const char* name = "a.csv") {
  return CsvTable::parse(text, name);
}

std::string rows(int n, const std::string& ending) {
  std::string text;
  for (int i = 1; i <= n; ++i) {
    text += std::to_string(i) + "," + std::to_string(600 + 7 * (i * 37 % 11)) +
            "," + std::to_string(20 + i * 13 % 7) + ending + "\n";
  }
  return text;
}

}  // namespace

TEST_CASE("a clear difference, in one sentence") {
  Samples samples = two_samples(0.3);
  const Outcomes outcomes = speeds(samples, 1);
  const Comparison got = compare(samples, outcomes, std::nullopt, {});
  REQUIRE(got.effects.size() == 1);
  const std::string sentence = effect_sentence(got, got.effects[0]);
  CAPTURE(sentence);
  CHECK(sentence.find("With the same feed, K's return speed was higher by ") ==
        0);
  CHECK(sentence.find(" m/s than M's (95 % interval ") != std::string::npos);
  CHECK(has(
      effect_details(got, got.effects[0]),
      "is laid to the feed (landing along the table and speed at the bounce)"));
  CHECK(matching_sentence(got).find(
            "pairs matched on landing along the table and speed at the bounce, "
            "out of 60 of K, 60 of M "
            "usable") != std::string::npos);
}

TEST_CASE("no difference: what could have been seen") {
  Samples samples = two_samples(0);
  const Comparison got = compare(samples, speeds(samples, 0), std::nullopt, {});
  const std::string sentence = effect_sentence(got, got.effects[0]);
  CAPTURE(sentence);
  CHECK(sentence.find("cannot be told apart in return speed") !=
        std::string::npos);
  // Not alike: what is still possible.
  const Interval& interval = got.effects[0].matched.interval;
  const double most = std::max(-interval.low, interval.high);
  CHECK(sentence.find("one of up to " + difference_words(got.effects[0], most) +
                      " is possible") != std::string::npos);
  CHECK(has(effect_details(got, got.effects[0]), "finds in 80 of 100 cases"));
}

TEST_CASE("the same feed is claimed only of what was matched") {
  Samples samples = two_samples(0);
  Comparison got = compare(samples, speeds(samples, 1), std::nullopt, {});
  const auto head = [&] { return effect_sentence(got, got.effects[0]); };
  CHECK(head().find("With the same feed, ") == 0);
  got.effects[0].uneven = true;
  CHECK(head().find("With feeds that still differ, ") == 0);
  got.effects[0].uneven = false;
  for (Sample& sample : got.samples) {
    sample.characteristics = {"x_mm", "y_mm"};
  }
  CHECK(head().find("With the same landing place, ") == 0);
  for (Sample& sample : got.samples) {
    sample.characteristics = {"length", "height"};
  }
  CHECK(head().find("With the same length and height, ") == 0);
}

TEST_CASE("two films that do not agree on the speed") {
  Samples samples = two_samples(0.3);
  for (Sample& sample : samples.all) {
    sample.not_matched = {"speed_in_mps"};
    sample.shared.sigma = {{"speed_in_mps", 0.06}};
  }
  samples.not_matched = samples.all[0].not_matched;
  Outcomes outcomes = speeds(samples, 1);
  const Comparison got = compare(samples, outcomes, std::nullopt, {});
  REQUIRE(got.effects[0].shifts.size() == 2);
  const FeedShift& speed = got.effects[0].shifts[1];
  CHECK(speed.sigma > 0.02);
  CHECK(std::abs(speed.launcher) < std::abs(speed.measured));
  const std::string sentence = effect_sentence(got, got.effects[0]);
  CAPTURE(sentence);
  CHECK(sentence.find("With the same landing along the table, K's") == 0);
  CHECK(sentence.find("; the feeds' speed differed by " +
                      characteristic_value("speed_in_mps", speed.launcher) +
                      " ± ") != std::string::npos);
  CHECK(sentence.find("was not matched") != std::string::npos);
  CAPTURE(got.caveats);
  CHECK(has(got.caveats, "Not matched on speed at the bounce: the films"));
  CHECK(has(got.caveats,
            "How far the films are off in return speed itself is not known"));
  CHECK(matching_sentence(got).find(
            "pairs matched on landing along the table, out of") !=
        std::string::npos);
  const auto json = nlohmann::json::parse(effect_text(got));
  CHECK(json["matched_on"] == nlohmann::json{"x_mm"});
  CHECK(json["not_matched"] == nlohmann::json{"speed_in_mps"});
  CHECK(json["effects"][0]["feed_shift"][1]["launcher"].get<double>() ==
        doctest::Approx(speed.launcher));
  // Known, it is no caveat.
  outcomes.all[0].shared = {0.01, 0.01};
  CHECK_FALSE(has(compare(samples, outcomes, std::nullopt, {}).caveats,
                  "How far the films are off"));
}

TEST_CASE("what was done about feeds that still differ") {
  Samples samples = two_samples(0.9);
  ComparisonOptions wide;
  wide.calipers.use = false;
  const Comparison got =
      compare(samples, speeds(samples, 1), std::nullopt, wide);
  CHECK(has(got.caveats, "still differ in landing along the table"));
  CHECK(has(got.caveats, "in return speed is corrected for it by a straight"));
  CHECK_FALSE(has(got.caveats, "is not corrected"));
  for (Sample& sample : samples.all) {
    sample.feeds.resize(4);
    sample.order.resize(4);
    sample.values.conservativeResize(4, 2);
    sample.sigmas.conservativeResize(4, 2);
  }
  const Comparison few =
      compare(samples, speeds(samples, 1), std::nullopt, wide);
  CHECK(has(few.caveats, "because there are too few feeds"));
  CHECK_FALSE(has(few.caveats, "corrected for it by a straight"));
}

TEST_CASE("an outcome nobody knows of one sample is no answer, in words") {
  Samples samples = two_samples(0);
  Outcomes outcomes = speeds(samples, 0);
  outcomes.all[0].name = "landed";
  outcomes.all[0].kind = OutcomeKind::kYesNo;
  outcomes.all[0].values[0].setOnes();
  outcomes.all[0].values[1].setConstant(NAN);
  const Comparison got = compare(samples, outcomes, std::nullopt, {});
  CHECK(effect_sentence(got, got.effects[0]) ==
        "landed: no answer, because it is not known for any feed of M that may "
        "be used.");
  CHECK(effect_details(got, got.effects[0]).size() == 1);
  CHECK(nlohmann::json::parse(effect_text(got))["effects"][0]["share_b"]
            .is_null());
}

TEST_CASE("alike feeds are not said to overlap little") {
  // Small samples have extremes of their own: by the share alone, two samples
  // of ten would nearly always be said to.
  int said = 0;
  constexpr unsigned kRuns = 100;
  for (unsigned run = 0; run < kRuns; ++run) {
    const int feeds = run % 2 == 0 ? 10 : 30;
    Samples samples;
    samples.all = {invented_sample("K", feeds, 0, 2 * run),
                   invented_sample("M", feeds, 0, 2 * run + 1)};
    samples.characteristics = samples.all[0].characteristics;
    said += has(compare(samples, speeds(samples, 0), std::nullopt, {}).caveats,
                "Little overlap");
  }
  CHECK(said <= 5);
}

TEST_CASE("caveats name themselves") {
  Samples samples = two_samples(1.8);
  samples.all[1].judged = false;
  SampleSheet sheet;
  sheet.properties = {"thickness_mm", "age", "colour", "sponge"};
  sheet.samples = {{"K", "soft", {"2.0", "new", "red", ""}},
                   {"M", "hard", {"1.8", "new", "black", "yes"}}};
  ComparisonOptions options;
  options.planned_pairs = 100;
  const Comparison got =
      compare(samples, speeds(samples, 0.02), sheet, options);
  CHECK(has(got.caveats, "One sheet of each kind was tried (K and M)"));
  CHECK(has(got.caveats,
            "differ in 2 declared properties: thickness_mm (2.0, 1.8) and "
            "colour (red, black)"));
  CHECK(has(got.caveats, "separate files"));
  CHECK(has(got.caveats, "carried on"));
  CHECK(has(got.caveats, "Little overlap"));
  CHECK(has(got.caveats, "100 pairs were planned"));
  CHECK(has(got.caveats, "The feeds of M were not judged"));
  CHECK_FALSE(has(got.caveats, "The feeds of K were not judged"));
}

TEST_CASE("no caveat that does not apply") {
  Samples samples;
  samples.all = {invented_sample("K1", 80, 0, 1),
                 invented_sample("K2", 80, 0, 1)};
  for (std::size_t s = 0; s < 2; ++s) {
    Sample& sample = samples.all[s];
    sample.ordered = true;
    for (std::size_t i = 0; i < 80; ++i) {
      sample.order[i] = static_cast<double>(2 * i + s);
    }
  }
  samples.characteristics = samples.all[0].characteristics;
  SampleSheet sheet;
  sheet.properties = {"age"};
  sheet.samples = {{"K1", "soft", {"new"}}, {"K2", "soft", {"old"}}};
  const Comparison got = compare(samples, speeds(samples, 1), sheet, {});
  CAPTURE(got.caveats);
  CHECK(got.caveats.empty());
}

TEST_CASE("readings finer than the camera sees, and coarse feeds") {
  Samples samples = two_samples(0);
  for (Sample& sample : samples.all) sample.sigmas.col(0).setConstant(30);
  Outcomes outcomes = speeds(samples, 0);
  for (auto& sigma : outcomes.all[0].sigmas) sigma.setConstant(5);
  const Comparison got = compare(samples, outcomes, std::nullopt, {});
  CHECK(has(got.caveats, "finer than the camera sees"));
  CHECK(has(got.caveats,
            "spread of the feeds is measurement: landing along the table"));
}

TEST_CASE("files of a comparison") {
  Samples samples = two_samples(0.3);
  const Outcomes outcomes = speeds(samples, 1);
  const Comparison got = compare(samples, outcomes, std::nullopt, {});
  const CsvTable pairs = csv(pairs_text(got), "pairs.csv");
  CHECK(static_cast<int>(pairs.rows()) == got.matching.pairs);
  CHECK(pairs.header() ==
        std::vector<std::string>{"a_feed", "b_feed", "distance"});
  const CsvTable left = csv(left_out_text(got), "left_out.csv");
  CHECK(left.rows() == got.matching.left_out.size());
  CHECK(csv(balance_text(got)).rows() == 2);
  const auto json = nlohmann::json::parse(effect_text(got));
  CHECK(json["effects"][0]["matched"]["difference"].get<double>() ==
        doctest::Approx(got.effects[0].matched.value));
  CHECK(json["effects"][0]["sentence"] == effect_sentence(got, got.effects[0]));
  CHECK(json["caveats"].size() == got.caveats.size());
}

TEST_CASE("samples from files: verdicts, gaps, what is common") {
  const std::string head = "feed,x_mm,y_mm,verdict\n";
  const CsvTable a = csv(head + "1,600,20,discard\n" + "2,610,21,keep\n" +
                             "3,,22,keep\n4,620,23,review\n" +
                             "5,630,24,keep\n6,640,25,keep\n7,650,20,keep\n"
                             "8,600,20,keep\n9,611,20,keep\n10,602,21,keep\n"
                             "11,603,20,keep\n12,604,22,keep\n",
                         "a.csv");
  const CsvTable b = csv("feed,x_mm,y_mm,kick\n" + rows(12, ",0.8"), "b.csv");
  const Samples got =
      read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm", "kick"}, false, {});
  CHECK(got.characteristics == std::vector<std::string>{"x_mm", "y_mm"});
  CHECK(got.all[0].size() == 9);
  CHECK(got.all[0].not_kept == 2);
  CHECK(got.all[0].not_known == 1);
  CHECK(got.all[0].judged);
  CHECK_FALSE(got.all[1].judged);
  CHECK(got.all[0].feeds.front() == 2);
  SampleRules rules;
  rules.include_review = true;
  CHECK(read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm"}, true, rules)
            .all[0]
            .size() == 10);
  const CsvTable none = csv(head + "1,600,20,discard\n2,610,21,discard\n");
  CHECK_THROWS_AS(read_samples({none, b}, {"K", "M"}, {"x_mm"}, true, {}),
                  InputError);
  CHECK_THROWS_AS(read_samples({a, b}, {"K", "M"}, {"kick"}, true, {}),
                  InputError);
}

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

TEST_CASE("what films do not agree on is not matched on, unless asked for") {
  const std::string head = "feed,x_mm,y_mm\n";
  const CsvTable a = csv(head + rows(12, ""), "a.csv");
  const CsvTable b = csv(head + rows(12, ""), "b.csv");
  // x spreads by 23 mm, y by 2 mm.
  std::vector<SharedUncertainty> films{{{{"x_mm", 1}, {"y_mm", 1}}, {}},
                                       {{{"x_mm", 1}, {"y_mm", 1}}, {}}};
  const auto matched_on = [&](bool asked_for,
                              const std::vector<SharedUncertainty>& shared) {
    return read_samples(
        {a, b}, {"K", "M"}, {"x_mm", "y_mm"}, asked_for, {}, shared);
  };
  const Samples got = matched_on(false, films);
  CHECK(got.characteristics == std::vector<std::string>{"x_mm", "y_mm"});
  CHECK(got.not_matched == std::set<std::string>{"y_mm"});
  CHECK(got.all[1].matched_on(0));
  CHECK_FALSE(got.all[1].matched_on(1));
  CHECK(got.all[1].shared_in("x_mm") == 1);
  CHECK(got.all[1].shared_in("kick") == 0);
  CHECK(matched_on(true, films).not_matched.empty());
  CHECK_THROWS_AS(read_samples({a, b}, {"K", "M"}, {"y_mm"}, false, {}, films),
                  InputError);
  CHECK(matched_on(true, films).characteristics.size() == 2);
  CHECK(matched_on(false, {}).characteristics.size() == 2);
  // What both err alike does not keep them apart.
  for (SharedUncertainty& film : films) {
    film.causes = {{"drag", "", 0.5, 0.05, 0, {{"x_mm", 1}, {"y_mm", 1}}}};
  }
  CHECK(matched_on(false, films).not_matched.empty());
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

TEST_CASE("one film of several samples, split by its order sheet") {
  const CsvTable feeds = csv("feed,x_mm,y_mm\n" + rows(8, ""), "feeds.csv");
  const CsvTable sheet =
      csv("order,purpose,sample,feed\n1,warm-up,,\n2,trial,M,2\n"
          "3,trial,K,\n4,trial,K,5\n5,trial,M,99\n",
          "order.csv");
  // Feed 3 is K's by its order.
  CHECK(samples_in_order(sheet) == std::vector<std::string>{"K", "M"});
  const CsvTable k = feeds_of_sample(feeds, sheet, "K");
  // The other sample's feeds do not lack in a part of the file.
  const CsvTable apart = csv("feed,x_mm,order\n2,600,1\n7,610,2\n8,630,3\n");
  SampleRules rules;
  const auto warned = [&] {
    return has(read_samples({apart, apart}, {"K", "M"}, {"x_mm"}, true, rules)
                   .warnings,
               "have no row");
  };
  CHECK(warned());
  rules.split = true;
  CHECK_FALSE(warned());
  REQUIRE(k.rows() == 2);
  CHECK(k.text(0, k.require_column("feed")) == "3");
  CHECK(k.text(1, k.require_column("order")) == "4");
  CHECK(feeds_of_sample(feeds, sheet, "M").rows() == 1);
  CHECK_THROWS_AS(feeds_of_sample(feeds, sheet, "P"), InputError);
  const CsvTable twice = csv("order,sample,feed\n1,K,3\n3,K,\n", "twice.csv");
  CHECK_THROWS_AS(feeds_of_sample(feeds, twice, "K"), InputError);
  CHECK_NOTHROW(require_one_sample_a_feed(sheet));
}
