// SPDX-License-Identifier: MIT
#include "base/csv.h"
#include "base/error.h"
#include "plan/factors.h"
#include "plan/trial_count.h"
#include "plan/trial_order.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

SampleSheet sheet(const std::string& text) {
  return read_sample_sheet(CsvTable::parse(text, "samples.csv"));
}

const Factor& factor(const FactorReport& report, const std::string& name) {
  const auto it = std::find_if(
      report.factors.begin(), report.factors.end(), [&](const Factor& one) {
        return one.name == name;
      });
  REQUIRE(it != report.factors.end());
  return *it;
}

}  // namespace

TEST_CASE("trials for a difference, calipers discounted") {
  // R: pwr::pwr.t.test(d = 0.5, power = 0.8, type = "paired"): 33.37
  const TrialCount count = count_for_difference(0.1, 0.2, 0.6, {});
  CHECK(count.pairs == 34);
  CHECK(count.trials == 57);
  CHECK(count_for_difference(0.1, 0.2, 1, {}).trials == 34);
  CHECK_THROWS_AS(count_for_difference(0, 0.2, 1, {}), UsageError);
  CHECK_THROWS_AS(count_for_difference(0.1, -1, 1, {}), UsageError);
  CHECK_THROWS_AS(count_for_difference(0.1, 0.2, 0, {}), UsageError);
}

TEST_CASE("trials for two rates") {
  // R: power.prop.test(p1 = .6, p2 = .8, power = .8): 81.22
  CHECK(unpaired_count(0.6, 0.8, {}) == 82);
  // Discordant 0.6 * 0.2 + 0.8 * 0.4 = 0.44 without correlation, difference
  // 0.2: (1.959964 sqrt(0.44) + 0.841621 sqrt(0.40))^2 / 0.04 = 83.94
  CHECK(count_for_shares(0.6, 0.8, 0, 1, {}).pairs == 84);
  CHECK(count_for_shares(0.6, 0.8, 0.5, 1, {}).pairs < 60);
  CHECK_THROWS_AS(count_for_shares(0.6, 0.6, 0, 1, {}), UsageError);
  CHECK_THROWS_AS(count_for_shares(1.6, 0.6, 0, 1, {}), UsageError);
}

TEST_CASE("a pilot's scatter") {
  const std::string json =
      R"({"samples": [{"used": 50}, {"used": 40}], "effects": [
        {"outcome": "a", "sets": 25, "matched": {"se": 0.1}},
        {"outcome": "b", "sets": 20, "matched": {"se": null},
         "share_a": {}, "pairs": {"only_a": 6, "only_b": 4}}]})";
  const Pilot first = read_pilot(json, "effect.json", "");
  CHECK(first.outcome == "a");
  CHECK(first.sd == doctest::Approx(0.5));
  CHECK(first.paired_share == doctest::Approx(25.0 / 40));
  CHECK(first.films == 0);
  const Pilot apart = read_pilot(
      R"({"samples": [{"used": 50}, {"used": 40}], "effects": [
        {"outcome": "a", "sets": 25, "films_uncertainty": 0.06,
         "matched": {"se": 0.1}}]})",
      "effect.json",
      "");
  CHECK(apart.sd == doctest::Approx(0.08 * 5));
  CHECK(apart.films == 0.06);
  const Pilot second = read_pilot(json, "effect.json", "b");
  CHECK(second.yes_no);
  CHECK(second.discordant == doctest::Approx(0.5));
  CHECK_THROWS_AS(read_pilot(json, "effect.json", "c"), InputError);
  CHECK_THROWS_AS(read_pilot("[1", "effect.json", ""), InputError);
  CHECK_THROWS_AS(read_pilot("{}", "effect.json", ""), InputError);
  CHECK_THROWS_AS(read_pilot(R"({"effects": []})", "effect.json", ""),
                  InputError);
}

TEST_CASE("an order that drift cannot bend") {
  OrderOptions options;
  options.samples = {"K", "M", "P"};
  options.trials = 41;
  options.turn = 1;
  options.seed = 5;
  const auto plan = plan_order(options);
  std::map<std::string, int> count;
  std::map<std::string, double> place;
  std::map<int, std::map<std::string, double>> in_block;
  std::map<std::string, std::map<int, int>> balls;
  int warm_up = 0;
  int checks = 0;
  for (std::size_t i = 0; i < plan.size(); ++i) {
    const PlannedTrial& trial = plan[i];
    CHECK(trial.order == static_cast<int>(i) + 1);
    warm_up += trial.purpose == FeedPurpose::kWarmUp;
    checks += trial.purpose == FeedPurpose::kRecheck;
    if (trial.purpose != FeedPurpose::kTrial) continue;
    ++count[trial.sample];
    in_block[trial.block][trial.sample] += trial.order;
    ++balls[trial.sample][trial.ball];
  }
  CHECK(warm_up == 30);
  CHECK(checks % 5 == 0);
  CHECK(checks >= 10);
  CHECK(plan.back().purpose == FeedPurpose::kRecheck);
  REQUIRE(count.size() == 3);
  for (const auto& [sample, n] : count) CHECK(n == 42);
  // Within a block every sample has the same mean place.
  CHECK(in_block.size() == 21);
  std::set<std::string> firsts;
  for (const auto& [block, samples] : in_block) {
    CHECK(samples.at("K") == samples.at("M"));
    CHECK(samples.at("K") == samples.at("P"));
  }
  for (const PlannedTrial& trial : plan) {
    if (trial.purpose == FeedPurpose::kTrial) firsts.insert(trial.sample);
  }
  for (const auto& [sample, of_ball] : balls) {
    CHECK(of_ball.size() == 6);
    for (const auto& [ball, n] : of_ball) CHECK(n == 7);
  }
  // Seeded: the same again, and another from another seed.
  CHECK(order_text(plan_order(options)) == order_text(plan));
  options.seed = 6;
  CHECK(order_text(plan_order(options)) != order_text(plan));
  CHECK(CsvTable::parse(order_text(plan), "order.csv").rows() == plan.size());
}

TEST_CASE("orders that cannot be") {
  OrderOptions options;
  options.samples = {"K"};
  CHECK_THROWS_AS(plan_order(options), UsageError);
  options.samples = {"K", "K"};
  CHECK_THROWS_AS(plan_order(options), UsageError);
  options.samples = {"K", "M"};
  options.balls = 0;
  CHECK_THROWS_AS(plan_order(options), UsageError);
}

TEST_CASE("two properties that always change together") {
  // Thickness and hardness go together; colour is crossed with them.
  const FactorReport report =
      analyse_factors(sheet("sample,kind,thickness_mm,hardness,colour,maker\n"
                            "K,a,2.0,soft,red,one\nL,a,2.0,soft,black,one\n"
                            "M,b,1.8,hard,red,one\nN,c,1.8,hard,black,one\n"));
  CHECK(factor(report, "thickness_mm").number);
  CHECK(factor(report, "thickness_mm").separable == Separable::kNo);
  CHECK(factor(report, "thickness_mm").aliased_with ==
        std::vector<std::string>{"hardness"});
  CHECK(factor(report, "colour").separable == Separable::kYes);
  CHECK(factor(report, "maker").separable == Separable::kConstant);
  CHECK(report.spare == 1);
  CHECK(report.lonely_kinds == std::vector<std::string>{"b", "c"});
  REQUIRE(report.contrasts.size() == 2);
  CHECK(report.contrasts[0].property == "colour");
  // One sample that breaks the bond frees both.
  REQUIRE_FALSE(report.suggestions.empty());
  const SuggestedSample& best = report.suggestions[0];
  CHECK(best.gain == 2);
  CHECK(best.frees == std::vector<std::string>{"thickness_mm", "hardness"});
  CHECK(best.changed.size() == 1);
  CHECK((best.values[0] == "2.0") == (best.values[1] == "hard"));
}

TEST_CASE("a full set needs nothing, a class may be free in part") {
  const FactorReport full =
      analyse_factors(sheet("sample,p,q\nA,1,x\nB,2,x\nC,1,y\nD,2,y\n"));
  for (const Factor& one : full.factors) {
    CHECK(one.separable == Separable::kYes);
    CHECK(one.aliased_with.empty());
  }
  CHECK(full.suggestions.empty());
  CHECK(full.contrasts.size() == 4);
  // Colour has three classes; blue comes with the new rubber only.
  const FactorReport part =
      analyse_factors(sheet("sample,colour,rubber\nA,red,old\nB,black,old\n"
                            "C,blue,new\n"));
  CHECK(factor(part, "colour").degrees == 2);
  CHECK(factor(part, "colour").free == 1);
  CHECK(factor(part, "colour").separable == Separable::kPartly);
  CHECK(factor(part, "rubber").separable == Separable::kNo);
  CHECK(factor(part, "rubber").aliased_with ==
        std::vector<std::string>{"colour"});
}

TEST_CASE("sheets with gaps, and sheets that cannot be") {
  const FactorReport gaps = analyse_factors(sheet("sample,p\nA,\nB,2\nC,2\n"));
  CHECK(gaps.incomplete == std::vector<std::string>{"p"});
  CHECK(analyse_factors(sheet("sample\nA\nB\n")).factors.empty());
  CHECK_THROWS_AS(analyse_factors(sheet("sample,p\nA,1\n")), UsageError);
  CHECK_THROWS_AS(sheet("sample,p\nA,1\nA,2\n"), InputError);
  CHECK_THROWS_AS(sheet("sample,p\n,1\n"), InputError);
  CHECK_THROWS_AS(sheet("name,p\nA,1\n"), InputError);
}
