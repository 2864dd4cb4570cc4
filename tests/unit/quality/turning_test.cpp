// SPDX-License-Identifier: MIT
#include "quality/turning.h"

#include "base/nan.h"
#include "base/random.h"
#include "quality/clean_series.h"
#include "quality/swing_or_rest.h"

#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kRuns = 100;
constexpr double kSignificance = 0.0025;

// Of a hundred histories about `mean`, so many may be a swing.
int possible(int feeds, const std::function<double(int)>& mean) {
  int count = 0;
  for (int k = 0; k < kRuns; ++k) {
    RandomEngine engine =
        derived_engine(131, "turning", static_cast<std::uint64_t>(k));
    std::normal_distribution<double> normal;
    std::vector<double> values;
    for (int i = 0; i < feeds; ++i) values.push_back(mean(i) + normal(engine));
    count += find_possible_swing(values, kSignificance).certain;
  }
  return count;
}

double swing(double i, double period) {
  return 3 * std::sin(2 * std::numbers::pi * i / period);
}

TurnLimit limit_of(double most) {
  TurnLimit limit;
  limit.characteristic = 0;
  limit.name = "x_mm";
  limit.most = most;
  limit.horizon_feeds = 30;
  limit.significance = kSignificance;
  return limit;
}

std::vector<double> parabola(int feeds, double size) {
  std::vector<double> values;
  for (int i = 0; i < feeds; ++i) {
    const double u = 2.0 * i / (feeds - 1) - 1;
    values.push_back(size * u * u + (i % 2 == 0 ? 1 : -1));
  }
  return values;
}

}  // namespace

TEST_CASE("turning: at its crest a swing is possible, after a settling none") {
  // From the trough to some feeds beyond the crest.
  CHECK(possible(50, [](int i) { return swing(i - 20, 80); }) >= 95);
  CHECK(possible(30, [](int i) { return swing(i - 10, 40); }) >= 95);
  // From 5 sd with a time of 10 feeds, and a launcher that was moved.
  CHECK(possible(60, [](int i) { return 5 * std::exp(-i / 10.0); }) <= 5);
  CHECK(possible(60, [](int i) { return i < 25 ? 0.0 : 4.0; }) <= 5);
  CHECK(possible(60, [](int) { return 7.0; }) <= 2);
}

TEST_CASE("turning: the swing that may be is the one that is") {
  std::vector<double> values;
  for (int i = 0; i < 60; ++i) {
    values.push_back(i % 7 == 3 ? kNaN : 700 + swing(i, 60) + 0.1 * (i % 2));
  }
  const Swing found = find_possible_swing(values, kSignificance);
  CHECK(found.certain);
  CHECK(found.period == doctest::Approx(60).epsilon(0.1));
  CHECK(found.amplitude == doctest::Approx(3).epsilon(0.03));
  const auto hold = crest_hold(values, limit_of(5.5));
  REQUIRE(hold);
  CHECK(hold->kind == HoldBackKind::kSwings);
  CHECK(hold->value == doctest::Approx(6).epsilon(0.03));
  CHECK(hold->more_feeds == doctest::Approx(15).epsilon(0.1));
  CHECK_FALSE(crest_hold(values, limit_of(6.5)));
}

TEST_CASE("turning: a swing within the limit is none") {
  std::vector<double> values;
  for (int i = 0; i < 100; ++i) {
    values.push_back(700 + swing(i, 25) + 0.1 * (i % 2));
  }
  const auto hold = swing_hold(values, 1, limit_of(5.5));
  REQUIRE(hold);
  CHECK(hold->kind == HoldBackKind::kSwings);
  CHECK(hold->value == doctest::Approx(6).epsilon(0.03));
  CHECK_FALSE(swing_hold(values, 1, limit_of(6.5)));
}

TEST_CASE("turning: nothing to tell from") {
  for (const std::vector<double>& values : {std::vector<double>{},
                                            std::vector<double>(15, 1.0),
                                            std::vector<double>(60, kNaN),
                                            std::vector<double>(60, 1e6)}) {
    CHECK_FALSE(find_possible_swing(values, 0.5).certain);
  }
}

TEST_CASE("turning: a bend counts by where it leads") {
  // +-1 from feed to feed; over 30 feeds more a parabola over 31 goes on by
  // (1 + 2)^2 - 1 times its size.
  const CleanSeries bent(parabola(31, 1));
  const double t = bent.bend(0, 30).t;
  CHECK(t > 1.75);
  const double ahead = 8 * bent.bend(0, 30).size;
  // The even feeds are one more than the odd ones.
  CHECK(ahead == doctest::Approx(8).epsilon(0.3));
  const auto hold = bend_hold(bent, 0, 30, limit_of(0.99 * ahead));
  REQUIRE(hold);
  CHECK(hold->value == doctest::Approx(ahead));
  CHECK_FALSE(bend_hold(bent, 0, 30, limit_of(1.01 * ahead)));
  const CleanSeries level(parabola(31, 0.4));
  CHECK(level.bend(0, 30).t < 1.75);
  CHECK_FALSE(bend_hold(level, 0, 30, limit_of(0)));
}
