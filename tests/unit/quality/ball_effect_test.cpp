// SPDX-License-Identifier: MIT
#include "quality/ball_effect.h"

#include "quality/qualification.h"
#include "support/launcher.h"
#include "support/statistics_data.h"

#include <cmath>
#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// The launcher's feeds with six balls in turn; ball 4 is off by `off` sd in x.
TrialTable balls_in_turn(double off, int feeds, std::uint64_t index) {
  TrialTable table = simulate_trial({}, feeds, index).table;
  for (int i = 0; i < feeds; ++i) {
    table.balls.push_back(std::to_string(i % 6 + 1));
    if (i % 6 == 3) table.values(i, 0) += off * 35;
  }
  return table;
}

}  // namespace

TEST_CASE("ball effect: the dyestuff example") {
  // Davies and Goldsmith (1972), table 6.3: six batches of five. R lme4, REML:
  // between 1764.05, within 2451.25. Interval of the between variance by
  // Williams and Tukey from the mean squares 11271.5 and 2451.25.
  const CsvTable dye = statistics_table("dyestuff.csv");
  TrialTable table;
  table.characteristics = {"yield"};
  table.values.resize(static_cast<int>(dye.rows()), 1);
  table.sigmas =
      Eigen::MatrixXd::Constant(static_cast<int>(dye.rows()), 1, std::nan(""));
  const auto yields = column_of(dye, "Yield");
  for (std::size_t r = 0; r < dye.rows(); ++r) {
    table.feeds.push_back(static_cast<int>(r) + 1);
    table.values(static_cast<int>(r), 0) = yields[r];
    table.balls.push_back(dye.text(r, dye.require_column("Batch")));
  }
  const auto effects = ball_effects(table, std::vector<bool>(30, true));
  REQUIRE(effects.size() == 1);
  const BallEffect& one = effects[0];
  CHECK(one.balls == 6);
  CHECK(one.feeds == 30);
  CHECK(one.ball.sd * one.ball.sd == doctest::Approx(1764.05).epsilon(1e-4));
  CHECK(one.launcher.sd * one.launcher.sd ==
        doctest::Approx(2451.25).epsilon(1e-4));
  // By hand: F(.975; 5, 24) = 3.1548, F(.975; 24, 5) = 6.2780, chi2_5 at .025
  // and .975 0.83121 and 12.8325, chi2_24 12.4012 and 39.3641.
  CHECK(one.ball.low * one.ball.low ==
        doctest::Approx((11271.5 - 2451.25 * 3.1548) / 12.8325).epsilon(1e-3));
  CHECK(one.ball.high * one.ball.high ==
        doctest::Approx((11271.5 - 2451.25 / 6.2780) / 0.83121).epsilon(1e-3));
  CHECK(one.launcher.low * one.launcher.low ==
        doctest::Approx(2451.25 * 24 / 39.3641).epsilon(1e-4));
  CHECK(one.launcher.high * one.launcher.high ==
        doctest::Approx(2451.25 * 24 / 12.4012).epsilon(1e-4));
  CHECK(std::isnan(one.gauge_sd));
}

TEST_CASE("ball effect: a ball that is off is named, alike balls are not") {
  const Qualification off = qualify(balls_in_turn(2, 60, 51), {});
  REQUIRE(off.balls.size() == 4);
  CHECK(off.balls[0].characteristic == "x_mm");
  REQUIRE(off.balls[0].off.size() == 1);
  CHECK(off.balls[0].off[0].ball == "4");
  CHECK(off.balls[0].off[0].difference > 35);
  CHECK(off.balls[0].probability < 0.01);
  CHECK(off.balls[1].off.empty());
  bool told = false;
  for (const std::string& one : off.warnings) {
    told |= one.find("ball 4 is off") == 0;
  }
  CHECK(told);
  int named = 0;
  for (int k = 0; k < 10; ++k) {
    const TrialTable alike = balls_in_turn(0, 60, 60 + k);
    for (const BallEffect& one :
         ball_effects(alike, std::vector<bool>(60, true))) {
      named += static_cast<int>(one.off.size());
      CHECK(one.ball.low <= one.ball.sd);
      CHECK(one.ball.sd <= one.ball.high);
    }
  }
  CHECK(named <= 3);  // 5 % of ten sessions
}

TEST_CASE("ball effect: a ball that is far off drags no other with it") {
  int far_off = 0;
  int dragged = 0;
  for (int k = 0; k < 20; ++k) {
    const auto effects = ball_effects(balls_in_turn(6, 60, 100 + k),
                                      std::vector<bool>(60, true));
    REQUIRE(effects.size() == 4);
    for (const BallOff& one : effects[0].off) {
      (one.ball == "4" ? far_off : dragged) += 1;
    }
  }
  CHECK(far_off == 20);
  CHECK(dragged <= 2);  // 1.25 % of twenty sessions, and then some
}

TEST_CASE("ball effect: two balls that are off are both named") {
  TrialTable table = balls_in_turn(4, 60, 131);
  for (int i = 0; i < 60; ++i) {
    if (i % 6 == 1) table.values(i, 0) -= 4 * 35;
  }
  const auto effects = ball_effects(table, std::vector<bool>(60, true));
  REQUIRE(effects.size() == 4);
  REQUIRE(effects[0].off.size() == 2);
  CHECK(effects[0].off[0].ball != effects[0].off[1].ball);
  CHECK(effects[0].off[0].difference * effects[0].off[1].difference < 0);
}

TEST_CASE("ball effect: names only where most balls agree") {
  // Two balls that differ: either may be the odd one.
  TrialTable two = simulate_trial({}, 60, 140).table;
  for (int i = 0; i < 60; ++i) {
    two.balls.push_back(i % 2 == 0 ? "white" : "orange");
    if (i % 2 == 0) two.values(i, 0) += 3 * 35;
  }
  const std::vector<bool> all(60, true);
  const auto differ = ball_effects(two, all);
  REQUIRE(differ.size() == 4);
  CHECK(differ[0].scattered);
  CHECK(differ[0].off.empty());
  CHECK(differ[0].range == doctest::Approx(105).epsilon(0.35));
  CHECK_FALSE(differ[1].scattered);
  const auto words = ball_warnings(differ);
  bool told = false;
  for (const std::string& one : words) {
    told |= one.find("the balls differ in landing along") == 0;
    CHECK(one.find("is off") == std::string::npos);
  }
  CHECK(told);
  // Every ball has a place of its own.
  TrialTable many = balls_in_turn(0, 60, 141);
  for (int i = 0; i < 60; ++i) many.values(i, 0) += 4 * 35 * (i % 6);
  CHECK(ball_effects(many, all)[0].scattered);
  // Two that agree against one: that one is named.
  TrialTable three = simulate_trial({}, 60, 142).table;
  for (int i = 0; i < 60; ++i) {
    three.balls.push_back(std::to_string(i % 3 + 1));
    if (i % 3 == 1) three.values(i, 0) -= 4 * 35;
  }
  const auto one_off = ball_effects(three, all);
  CHECK_FALSE(one_off[0].scattered);
  REQUIRE(one_off[0].off.size() == 1);
  CHECK(one_off[0].off[0].ball == "2");
}

TEST_CASE("ball effect: gauge and degenerate feeds") {
  TrialTable table = balls_in_turn(0, 60, 71);
  table.sigmas.col(0).setConstant(21);
  const auto effects = ball_effects(table, std::vector<bool>(60, true));
  REQUIRE(effects.size() == 4);
  CHECK(effects[0].gauge_sd == doctest::Approx(21));
  CHECK(effects[0].launcher.sd == doctest::Approx(28).epsilon(0.3));
  CHECK(ball_effects(table, std::vector<bool>(60, false)).empty());
  table.balls.assign(60, "white");
  CHECK(ball_effects(table, std::vector<bool>(60, true)).empty());
  table.balls.assign(60, "");
  CHECK(ball_effects(table, std::vector<bool>(60, true)).empty());
  table.balls.clear();
  CHECK(ball_effects(table, std::vector<bool>(60, true)).empty());
}
