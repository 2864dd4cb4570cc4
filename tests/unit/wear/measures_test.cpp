// SPDX-License-Identifier: MIT
#include "wear/measures.h"

#include "base/random.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const SessionValue& of(const SessionValues& values, Measure id) {
  return values[static_cast<std::size_t>(id)];
}

// Every column swings about its level by a pattern without mean or trend and
// with mean square 0.58, so that means and spreads are known; a feed every
// 1.5 s.
constexpr double kPattern[] = {1, -1, -1, 1, 0.4, -0.4, -0.4, 0.4};
constexpr double kSquare = 0.58;

SessionSeries alternating(int feeds) {
  const double level[] = {5, 0.7, 1, -2, 700, 10};
  const double swing[] = {0.1, 0.01, 0.5, 0.5, 30, 15};
  SessionSeries series;
  series.values.resize(6);
  for (int i = 0; i < feeds; ++i) {
    series.feeds.push_back(i + 1);
    series.t_launch_s.push_back(1.5 * i);
    series.discard.push_back(0);
    for (std::size_t c = 0; c < 6; ++c) {
      series.values[c].push_back(level[c] + kPattern[i % 8] * swing[c]);
    }
  }
  return series;
}

}  // namespace

TEST_CASE("measures: known sessions") {
  const SessionValues values = summarise(alternating(40), 8);
  CHECK(of(values, Measure::kSpeed).value ==
        doctest::Approx(100 * std::log(5.0)));
  CHECK(level_of(Measure::kSpeed, of(values, Measure::kSpeed).value) ==
        doctest::Approx(5));
  // 0.1 of 5 is 2 %; divisor 39.
  CHECK(of(values, Measure::kSpeed).unit_variance ==
        doctest::Approx(4.0 * kSquare * 40 / 39));
  CHECK(of(values, Measure::kSpeed).weight == 40);
  CHECK(level_of(Measure::kKick, of(values, Measure::kKick).value) ==
        doctest::Approx(0.7));
  CHECK(of(values, Measure::kTurn).value == doctest::Approx(1));
  CHECK(of(values, Measure::kHeading).value == doctest::Approx(-2));
  // About a line: divisor 38.
  CHECK(level_of(Measure::kSpreadAlong,
                 of(values, Measure::kSpreadAlong).value) ==
        doctest::Approx(30 * std::sqrt(kSquare * 40 / 38)).epsilon(1e-3));
  CHECK(level_of(Measure::kSpreadAcross,
                 of(values, Measure::kSpreadAcross).value) ==
        doctest::Approx(15 * std::sqrt(kSquare * 40 / 38)).epsilon(1e-3));
  CHECK(of(values, Measure::kSpreadAlong).unit_variance /
            of(values, Measure::kSpreadAlong).weight ==
        doctest::Approx(1e4 / (2 * 38)));
  CHECK(std::abs(of(values, Measure::kDrift).value) < 0.5);
  CHECK(level_of(Measure::kInterval, of(values, Measure::kInterval).value) ==
        doctest::Approx(1.5));
}

TEST_CASE("measures: a session that drifts, in per cent over 100 feeds") {
  SessionSeries series = alternating(60);
  for (std::size_t i = 0; i < 60; ++i) series.values[0][i] += 0.002 * i;
  const SessionValues values = summarise(series, 8);
  // 0.2 m/s over 100 feeds, of the mean 5.059.
  CHECK(of(values, Measure::kDrift).value ==
        doctest::Approx(100 * 0.2 / 5.059).epsilon(0.05));
  // The spread is about the line.
  CHECK(level_of(Measure::kSpreadSpeed,
                 of(values, Measure::kSpreadSpeed).value) ==
        doctest::Approx(0.1 * std::sqrt(kSquare * 60 / 58)).epsilon(0.01));
}

TEST_CASE("measures: what does not count") {
  const double speed = of(summarise(alternating(40), 8), Measure::kSpeed).value;
  SessionSeries series = alternating(40);
  // A mis-feed, a wild value, and one that is not known.
  series.discard[5] = 1;
  series.values[0][5] = 50;
  series.values[0][10] = 9;
  series.values[0][17] = std::numeric_limits<double>::quiet_NaN();
  CHECK(of(summarise(series, 8), Measure::kSpeed).weight == 37);
  CHECK(of(summarise(series, 8), Measure::kSpeed).value ==
        doctest::Approx(speed).epsilon(1e-3));
  // Warming up, before the launcher was stable.
  SessionSeries warming = alternating(40);
  for (std::size_t i = 0; i < 12; ++i) warming.values[0][i] -= 0.3;
  warming.head.ready = true;
  warming.head.stable_from_feed = 13;
  CHECK(of(summarise(warming, 8), Measure::kSpeed).weight == 28);
  CHECK(of(summarise(warming, 8), Measure::kSpeed).value ==
        doctest::Approx(speed).epsilon(1e-9));
  // Feeds that were missed make no long interval.
  SessionSeries gaps = alternating(40);
  for (std::size_t i = 20; i < 40; ++i) {
    gaps.feeds[i] += 3;
    gaps.t_launch_s[i] += 4.5;
  }
  CHECK(of(summarise(gaps, 8), Measure::kInterval).weight == 38);
  CHECK(level_of(Measure::kInterval,
                 of(summarise(gaps, 8), Measure::kInterval).value) ==
        doctest::Approx(1.5));
}

TEST_CASE("measures: too few, none, constant") {
  int without = 0;
  for (const int feeds : {0, 1, 7}) {
    for (const SessionValue& one : summarise(alternating(feeds), 8)) {
      CHECK(std::isnan(one.value));
      ++without;
    }
  }
  CHECK(without == 3 * kMeasureCount);
  const SessionValues few = summarise(alternating(12), 8);
  CHECK(std::isfinite(of(few, Measure::kSpeed).value));
  CHECK(std::isnan(of(few, Measure::kSpreadAlong).value));
  SessionSeries flat = alternating(40);
  for (auto& column : flat.values) column.assign(40, 3.0);
  const SessionValues constant = summarise(flat, 8);
  CHECK(of(constant, Measure::kSpeed).unit_variance == 0);
  CHECK(std::isnan(of(constant, Measure::kSpreadAlong).value));
  CHECK(std::isnan(of(constant, Measure::kDrift).value));
  for (auto& column : flat.values) {
    column.assign(40, std::numeric_limits<double>::quiet_NaN());
  }
  CHECK(std::isnan(of(summarise(flat, 8), Measure::kSpeed).value));
}

TEST_CASE("measures: names and back") {
  int tried = 0;
  for (const MeasureInfo& one : measures()) {
    CHECK(find_measure(one.name) == one.id);
    CHECK(info(one.id).name == one.name);
    ++tried;
  }
  CHECK(tried == kMeasureCount);
  CHECK_FALSE(find_measure("colour").has_value());
}
