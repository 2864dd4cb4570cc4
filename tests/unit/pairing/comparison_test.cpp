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
  const CsvTable pairs = CsvTable::parse(pairs_text(got), "pairs.csv");
  CHECK(static_cast<int>(pairs.rows()) == got.matching.pairs);
  CHECK(pairs.header() ==
        std::vector<std::string>{"a_feed", "b_feed", "distance"});
  const CsvTable left = CsvTable::parse(left_out_text(got), "left_out.csv");
  CHECK(left.rows() == got.matching.left_out.size());
  CHECK(CsvTable::parse(balance_text(got), "balance.csv").rows() == 2);
  const auto json = nlohmann::json::parse(effect_text(got));
  CHECK(json["effects"][0]["matched"]["difference"].get<double>() ==
        doctest::Approx(got.effects[0].matched.value));
  CHECK(json["effects"][0]["sentence"] == effect_sentence(got, got.effects[0]));
  CHECK(json["caveats"].size() == got.caveats.size());
}
