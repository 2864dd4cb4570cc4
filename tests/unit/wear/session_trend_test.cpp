// SPDX-License-Identifier: MIT
#include "wear/session_trend.h"

#include "base/random.h"
#include "stats/distributions.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Truth {
  double slope = 0;  ///< per 1000 feeds
  double setup = 1;
  double own = 0.3;
  double step = 0;  ///< at session 12
  int new_level_at = 1000;
  double new_level = 5;
};

// 24 sessions of 250 feeds, every other day.
std::vector<TrendPoint> sessions(const Truth& truth,
                                 std::uint64_t index,
                                 int count = 24) {
  auto engine = derived_engine(9, "session trend", index);
  std::normal_distribution<double> normal;
  std::vector<TrendPoint> points;
  for (int i = 0; i < count; ++i) {
    TrendPoint one;
    one.kilofeeds = 0.25 * i;
    one.days = 2 * i;
    one.session = i;
    one.variance = truth.own * truth.own;
    one.level = i >= truth.new_level_at ? 1 : 0;
    one.value = 100 + truth.slope * one.kilofeeds +
                truth.new_level * one.level + (i >= 12 ? truth.step : 0) +
                truth.setup * normal(engine) + truth.own * normal(engine);
    points.push_back(one);
  }
  return points;
}

}  // namespace

TEST_CASE("session trend: a slope is recovered, and found") {
  const SessionTrend trend = fit_session_trend(
      sessions({.slope = -2, .setup = 0.01, .own = 0.01}, 0), {});
  REQUIRE(trend.ok);
  CHECK(trend.slope.value == doctest::Approx(-2).epsilon(0.01));
  // 125 feeds a day: 3.75 thousand in 30 days.
  CHECK(trend.per_month.value == doctest::Approx(-7.5).epsilon(0.01));
  CHECK(trend.robust.slope == doctest::Approx(-2).epsilon(0.01));
  CHECK(trend.wears);
  CHECK_FALSE(trend.stepped);
  CHECK(trend.between_sd < 0.03);
  CHECK(trend.fitted[0] == doctest::Approx(100).epsilon(0.001));
}

TEST_CASE("session trend: coverage, and alarms where nothing wears") {
  const int runs = 600;
  int covered = 0;
  int alarms = 0;
  for (int run = 0; run < runs; ++run) {
    const auto trend =
        fit_session_trend(sessions({.slope = -0.3}, 100 + run), {});
    REQUIRE(trend.ok);
    covered += trend.slope.low <= -0.3 && -0.3 <= trend.slope.high;
    const auto steady =
        fit_session_trend(sessions({}, 9000 + run), {.alarm = 0.1});
    alarms += steady.wears || steady.stepped;
  }
  CHECK(covered > 0.93 * runs);
  CHECK(covered < 0.975 * runs);
  // 0.1 was allowed; the steps' share is an upper bound.
  CHECK(alarms < 0.12 * runs);
  CHECK(alarms > 0.03 * runs);
}

TEST_CASE("session trend: a hint is no alarm, and seldom comes for nothing") {
  const int runs = 400;
  int hints = 0;
  int told = 0;
  for (int run = 0; run < runs; ++run) {
    const auto steady =
        fit_session_trend(sessions({}, 20000 + run), {.alarm = 1e-5});
    hints += steady.hinted;
    CHECK_FALSE((steady.hinted && steady.wears));
    const auto worn = fit_session_trend(sessions({.slope = -0.6}, 30000 + run),
                                        {.alarm = 1e-5});
    told += worn.hinted || worn.wears;
  }
  // 1 % of 400 is 4; power of a 1 % test at 4.9 errors of the slope is 0.97.
  CHECK(hints <= 10);
  CHECK(told > 0.92 * runs);
}

TEST_CASE("session trend: a service is not wear, and hides none") {
  const Truth replaced{
      .slope = -1.5, .setup = 0.3, .new_level_at = 15, .new_level = 6};
  const auto trend = fit_session_trend(sessions(replaced, 1), {});
  REQUIRE(trend.ok);
  CHECK(trend.wears);
  CHECK_FALSE(trend.stepped);
  CHECK(trend.slope.low < -1.5);
  CHECK(trend.slope.high > -1.5);
  const auto steady = fit_session_trend(
      sessions({.setup = 0.3, .new_level_at = 15, .new_level = 6}, 2), {});
  CHECK_FALSE(steady.wears);
  CHECK_FALSE(steady.stepped);
}

TEST_CASE("session trend: a sudden change is found where it is") {
  int found = 0;
  int near = 0;
  for (int run = 0; run < 50; ++run) {
    const auto trend =
        fit_session_trend(sessions({.setup = 0.5, .step = -4}, 300 + run), {});
    found += trend.stepped;
    near += trend.stepped && std::abs(trend.step_before - 12) <= 1;
    if (trend.stepped) CHECK(trend.step.value < 0);
  }
  CHECK(found >= 48);
  CHECK(near >= 48);
}

TEST_CASE("session trend: a sudden change of two set-ups is not read as wear") {
  const int runs = 300;
  int covered = 0;
  int plain = 0;  // the slope's own interval, as if there were no steps
  int unsettled = 0;
  for (int run = 0; run < runs; ++run) {
    const auto trend =
        fit_session_trend(sessions({.step = -3}, 4000 + run), {.alarm = 0.003});
    covered += trend.slope.low <= 0 && 0 <= trend.slope.high;
    unsettled += trend.either;
    if (trend.stepped) continue;
    const double half =
        student_t_quantile(0.975, trend.degrees) * trend.slope.error;
    plain += std::abs(trend.slope.value) <= half;
  }
  CHECK(covered > 0.9 * runs);
  CHECK(plain < 0.2 * runs);
  CHECK(unsettled > 0.3 * runs);
}

TEST_CASE("session trend: one wild session is neither wear nor a step") {
  // 1 % of false alarms is asked for: in 50 runs hardly three.
  int alarms = 0;
  for (int run = 0; run < 50; ++run) {
    auto points = sessions({.setup = 0.5}, 700 + run);
    points[10].value += 12;
    const auto trend = fit_session_trend(points, {});
    alarms += trend.wears || trend.stepped;
    CHECK(points[10].value > trend.upper[10]);
  }
  CHECK(alarms <= 2);
}

TEST_CASE("session trend: a session in another unit hides no wear") {
  constexpr double kInKmh = 128.1;  // 100 ln 3.6
  int found = 0;
  int alone = 0;
  int stepped = 0;
  constexpr int kRuns = 40;
  for (int run = 0; run < kRuns; ++run) {
    auto points = sessions({.slope = -1.5, .setup = 0.5}, 800 + run);
    points[10].value += kInKmh;
    const SessionTrend trend = fit_session_trend(points, {});
    alone += trend.weighed_down == std::vector<int>{10};
    stepped += trend.stepped;
    CHECK(trend.upper[10] < points[10].value);
    found += trend.wears;
  }
  CHECK(found >= 0.9 * kRuns);
  CHECK(alone >= kRuns - 2);
  CHECK(stepped <= 2);
  // Nor is the last one a sudden change.
  auto last = sessions({.setup = 0.5}, 900);
  last.back().value += kInKmh;
  CHECK(fit_session_trend(last, {}).weighed_down == std::vector<int>{23});
  CHECK_FALSE(fit_session_trend(last, {}).stepped);
  // Two that follow each other may be a change; few sessions are no measure.
  auto two = sessions({.setup = 0.5}, 901);
  two[10].value += kInKmh;
  two[11].value += kInKmh;
  CHECK(fit_session_trend(two, {}).weighed_down.empty());
  auto few = sessions({.setup = 0.5}, 902, 7);
  few[3].value += kInKmh;
  CHECK(fit_session_trend(few, {}).weighed_down.empty());
}

TEST_CASE("session trend: set-ups that are alike do not pass for wear") {
  // A bench that stands for four sessions.
  int alarms = 0;
  int covered = 0;
  int remembered = 0;
  constexpr int kRuns = 100;
  for (int run = 0; run < kRuns; ++run) {
    auto points = sessions({.setup = 0, .own = 0.1}, 1000 + run, 48);
    auto engine = derived_engine(10, "alike", static_cast<std::uint64_t>(run));
    std::normal_distribution<double> normal;
    double effect = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (i % 4 == 0) effect = normal(engine);
      points[i].value += effect;
    }
    const SessionTrend trend = fit_session_trend(points, {});
    alarms += trend.wears || trend.stepped;
    covered += trend.slope.low <= 0 && trend.slope.high >= 0;
    remembered += trend.memory > 0.3;
  }
  CHECK(remembered >= 0.85 * kRuns);
  CHECK(alarms <= 0.12 * kRuns);
  CHECK(covered >= 0.85 * kRuns);
  // Set-ups anew each time have none that counts.
  int chance = 0;
  for (int run = 0; run < kRuns; ++run) {
    chance += fit_session_trend(sessions({}, 1200 + run), {}).memory > 0;
  }
  CHECK(chance <= 0.25 * kRuns);
}

TEST_CASE("session trend: wear is seen within set-ups that are shared") {
  // Twelve set-ups of four sessions: 0.5 in one of them, a sd of 2 between.
  const auto shared = [](double slope, int run, bool told, double own) {
    auto points = sessions({.slope = slope, .setup = own, .own = 0.1},
                           static_cast<std::uint64_t>(2000 + run),
                           48);
    auto engine = derived_engine(11, "shared", static_cast<std::uint64_t>(run));
    std::normal_distribution<double> normal;
    double effect = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (i % 4 == 0) effect = 2 * normal(engine);
      points[i].value += effect;
      if (told) points[i].setup = static_cast<int>(i) / 4;
    }
    return fit_session_trend(points, {.alarm = 0.003});
  };
  constexpr int kRuns = 60;
  int found = 0;
  int found_untold = 0;
  int alarms = 0;
  int covered = 0;
  double robust_squares = 0;
  for (int run = 0; run < kRuns; ++run) {
    const SessionTrend worn = shared(-0.6, run, true, 0.01);
    found += worn.wears;
    robust_squares += std::pow(worn.robust.slope + 0.6, 2) / kRuns;
    covered += worn.slope.low < -0.6 && worn.slope.high > -0.6;
    CHECK(worn.setups == 12);
    CHECK(worn.shared_sd > 10 * std::sqrt(worn.between_sd * worn.between_sd -
                                          worn.shared_sd * worn.shared_sd));
    found_untold += shared(-0.6, run, false, 0.01).wears;
    const SessionTrend steady = shared(0, run, true, 0.3);
    alarms += steady.wears || steady.stepped;
  }
  CHECK(found >= 0.9 * kRuns);
  CHECK(found_untold <= 0.3 * kRuns);
  // Within set-ups 0.1 / sqrt(12 * 0.31); across them three times that.
  CHECK(std::sqrt(robust_squares) < 0.09);
  CHECK(covered >= 0.9 * kRuns);
  CHECK(alarms <= 2);
}

TEST_CASE("session trend: set-ups that do not matter do not hide wear") {
  // Four sessions of one calibration, each set up anew.
  int found = 0;
  int shared = 0;
  constexpr int kRuns = 60;
  for (int run = 0; run < kRuns; ++run) {
    auto points =
        sessions({.slope = -0.3}, static_cast<std::uint64_t>(2200 + run), 48);
    for (TrendPoint& one : points) one.setup = one.session / 4;
    const SessionTrend trend = fit_session_trend(points, {.alarm = 0.01});
    found += trend.wears;
    shared += trend.setups > 0;
  }
  CHECK(found >= 0.75 * kRuns);
  CHECK(shared <= 0.25 * kRuns);
  // One set-up of all sessions is their level.
  auto one_setup = sessions({.slope = -2}, 2300);
  for (TrendPoint& one : one_setup) one.setup = 0;
  CHECK(fit_session_trend(one_setup, {}).setups == 0);
}

TEST_CASE("session trend: damage within a set-up is dated") {
  auto points = sessions({.setup = 0.05, .own = 0.1, .step = -1}, 2400);
  auto engine = derived_engine(11, "damaged", 0);
  std::normal_distribution<double> normal;
  double effect = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i % 8 == 0) effect = 3 * normal(engine);
    points[i].value += effect;
    points[i].setup = static_cast<int>(i) / 8;
  }
  const SessionTrend trend = fit_session_trend(points, {});
  REQUIRE(trend.stepped);
  CHECK(trend.step_before == 12);
  CHECK(trend.step.low < -1);
  CHECK(trend.step.high > -1);
}

TEST_CASE("session trend: bad input has a reason") {
  int refused = 0;
  const auto refuse = [&](const std::vector<TrendPoint>& points) {
    const auto trend = fit_session_trend(points, {});
    CHECK_FALSE(trend.ok);
    CHECK_FALSE(trend.message.empty());
    CHECK_FALSE(trend.wears);
    CHECK_FALSE(trend.stepped);
    ++refused;
  };
  refuse({});
  refuse(sessions({}, 1, 1));
  refuse(sessions({}, 1, 4));
  // Each session a level of its own.
  auto apart = sessions({}, 1, 8);
  for (int i = 0; i < 8; ++i) apart[i].level = i;
  refuse(apart);
  auto same = sessions({}, 1, 8);
  for (auto& one : same) one.value = 3;
  refuse(same);
  auto at_once = sessions({}, 1, 8);
  for (auto& one : at_once) one.kilofeeds = 1;
  refuse(at_once);
  auto unknown = sessions({}, 1, 8);
  unknown[3].value = std::numeric_limits<double>::quiet_NaN();
  refuse(unknown);
  CHECK(refused == 7);
}

TEST_CASE("session trend: what the room's temperature moves is no wear") {
  // Invented: 0.5 per degree, the room warms by half a year's 12 degrees.
  const auto seasonal = [](std::uint64_t run, bool told) {
    auto points = sessions({.slope = 0, .setup = 0.3}, 30000 + run);
    auto engine = derived_engine(10, "weather", run);
    std::normal_distribution<double> weather(0, 2);
    for (TrendPoint& one : points) {
      const double degrees = 15 + 0.25 * one.days + weather(engine);
      one.value += 0.5 * degrees;
      if (told) one.temperature_C = degrees;
    }
    return fit_session_trend(points, {.alarm = 0.02});
  };
  constexpr int kRuns = 100;
  int alarms = 0;
  int untold = 0;
  int covered = 0;
  for (int run = 0; run < kRuns; ++run) {
    const SessionTrend trend = seasonal(static_cast<std::uint64_t>(run), true);
    REQUIRE(trend.ok);
    alarms += trend.wears || trend.stepped;
    covered += trend.per_degree.low <= 0.5 && 0.5 <= trend.per_degree.high;
    untold += seasonal(static_cast<std::uint64_t>(run), false).wears;
  }
  CHECK(alarms <= 6);
  CHECK(untold > 80);
  CHECK(covered >= 88);
  CHECK(covered < kRuns);
  CHECK_FALSE(std::isfinite(seasonal(0, false).per_degree.value));
}

TEST_CASE(
    "session trend: a temperature that is not told for all, or hardly "
    "varies, is left out") {
  auto points = sessions({.slope = -2}, 5);
  for (TrendPoint& one : points)
    one.temperature_C = 20 + 0.1 * (one.session % 3);
  CHECK_FALSE(std::isfinite(fit_session_trend(points, {}).per_degree.value));
  for (TrendPoint& one : points) one.temperature_C = 20 + 3 * (one.session % 3);
  CHECK(std::isfinite(fit_session_trend(points, {}).per_degree.value));
  points[4].temperature_C = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(std::isfinite(fit_session_trend(points, {}).per_degree.value));
}
