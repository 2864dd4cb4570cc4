// SPDX-License-Identifier: MIT
#include "wear/forecast.h"

#include "stats/distributions.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

SessionTrend trend_of(double slope, double error) {
  SessionTrend trend;
  trend.ok = true;
  trend.degrees = 20;
  trend.slope.value = slope;
  trend.slope.error = error;
  const double half = student_t_quantile(0.975, 20) * error;
  trend.slope.low = slope - half;
  trend.slope.high = slope + half;
  trend.between_sd = 0.8;
  trend.own_sd = 0.6;
  return trend;
}

// 5000 feeds run, 2000 of them since the last service, 100 a session.
ForecastStart start_at() {
  ForecastStart start;
  start.feeds_now = 5000;
  start.feeds_at_service = 3000;
  start.feeds_per_session = 100;
  start.level_now = 50;
  start.centre_feeds = 4000;
  start.level_sessions = 20;
  return start;
}

}  // namespace

TEST_CASE("forecast: by hand") {
  // -1 % per 1000 feeds, 3 % allowed since the service: at 3000 feeds after
  // it, 1000 from now. The interval is that of 3 / slope.
  const Forecast out = forecast(trend_of(-1, 0.1), 3, start_at(), 0.95);
  REQUIRE(out.ok);
  CHECK(out.moved == doctest::Approx(-2));
  CHECK(out.feeds_left == doctest::Approx(1000));
  const double t = student_t_quantile(0.975, 20);
  CHECK(out.feeds_low == doctest::Approx(3000 / (1 + 0.1 * t) - 2000));
  CHECK(out.feeds_high == doctest::Approx(3000 / (1 - 0.1 * t) - 2000));
  CHECK(out.less_than == doctest::Approx(1 + 0.1 * t));
  CHECK(out.sessions(out.feeds_left) == doctest::Approx(10));
  REQUIRE(out.band.size() > 2);
  CHECK(out.band.front().feeds == 5000);
  CHECK(out.band.front().centre == 50);
  // 0.8 and 0.6 make 1.0; the level of 20 sessions and 1000 feeds of slope add.
  CHECK(out.band.front().high - 50 ==
        doctest::Approx(t * std::sqrt(1 + 0.05 + 0.01)));
  for (std::size_t i = 1; i < out.band.size(); ++i) {
    CHECK(out.band[i].high - out.band[i].low >=
          out.band[i - 1].high - out.band[i - 1].low);
    CHECK(out.band[i].centre < out.band[i - 1].centre);
  }
}

TEST_CASE("forecast: reached, never, and not before") {
  const Forecast reached = forecast(trend_of(2, 0.1), 3, start_at(), 0.95);
  CHECK(reached.feeds_left == 0);
  CHECK(reached.feeds_high == 0);
  const Forecast unsure = forecast(trend_of(-0.1, 0.2), 3, start_at(), 0.95);
  CHECK(std::isinf(unsure.feeds_high));
  const double t = student_t_quantile(0.975, 20);
  CHECK(unsure.feeds_low == doctest::Approx(3000 / (0.1 + 0.2 * t) - 2000));
  const Forecast flat = forecast(trend_of(0, 0.2), 3, start_at(), 0.95);
  CHECK(std::isinf(flat.feeds_left));
  CHECK(std::isinf(flat.feeds_high));
  CHECK(flat.feeds_low > 0);
  SessionTrend none;
  CHECK_FALSE(forecast(none, 3, start_at(), 0.95).ok);
  none.ok = true;
  CHECK_FALSE(forecast(none, 3, start_at(), 0.95).ok);
}

TEST_CASE("forecast: a slope that was told because it is large may be small") {
  SessionTrend told = trend_of(-1, 0.2);  // 5 errors
  told.slope_limit = 3.5;
  const Forecast seen = forecast(told, 3, start_at(), 0.95);
  told.wears = true;
  const Forecast alarmed = forecast(told, 3, start_at(), 0.95);
  CHECK(alarmed.feeds_low == seen.feeds_low);
  CHECK(alarmed.feeds_left == seen.feeds_left);
  CHECK(alarmed.feeds_high > 1.05 * seen.feeds_high);
  CHECK(std::isfinite(alarmed.feeds_high));
  // Just beyond the limit nothing of the slower end is left.
  told.slope_limit = 4.99;
  CHECK(std::isinf(forecast(told, 3, start_at(), 0.95).feeds_high));
  // Far beyond it the condition does not matter.
  told = trend_of(-1, 0.02);
  told.slope_limit = 3.5;
  const double plain = forecast(told, 3, start_at(), 0.95).feeds_high;
  told.wears = true;
  CHECK(forecast(told, 3, start_at(), 0.95).feeds_high ==
        doctest::Approx(plain).epsilon(1e-3));
}
