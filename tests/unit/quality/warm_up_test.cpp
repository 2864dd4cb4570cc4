// SPDX-License-Identifier: MIT
#include "quality/warm_up.h"

#include "base/nan.h"
#include "quality/clean_series.h"
#include "quality/settling.h"
#include "stats/trend.h"
#include "support/launcher.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

WarmUpState after(const SimulatedTrial& trial,
                  int feeds,
                  const QualityOptions& options = {}) {
  WarmUp warm_up(trial.table.characteristics, options);
  for (int i = 0; i < feeds; ++i) {
    warm_up.add(trial.table.values.row(i).transpose());
  }
  return warm_up.state();
}

// When it is called ready first, in so many feeds, or after all of them.
WarmUpState first_ready(const SimulatedTrial& trial,
                        int feeds,
                        const QualityOptions& options = {}) {
  WarmUp warm_up(trial.table.characteristics, options);
  for (int i = 0; i < feeds; ++i) {
    warm_up.add(trial.table.values.row(i).transpose());
    if (warm_up.state().ready) break;
  }
  return warm_up.state();
}

bool held_by(const WarmUpState& state, HoldBackKind kind) {
  for (const HoldBack& one : state.holding_back) {
    if (one.kind == kind) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("warm-up: too few feeds, then ready, saying since when") {
  const SimulatedTrial trial = simulate_trial({}, 60, 1);
  const WarmUpState early = after(trial, 9);
  CHECK_FALSE(early.ready);
  REQUIRE(early.holding_back.size() == 1);
  CHECK(early.holding_back[0].text ==
        "too few feeds to tell: 9 measured, at least 20 are needed");
  CHECK(early.holding_back[0].more_feeds == 11);
  const WarmUpState late = after(trial, 60);
  CHECK(late.ready);
  CHECK(late.first <= 10);
  CHECK(late.last == 59);
}

TEST_CASE("warm-up: what still moves is named") {
  LauncherFault fault;
  fault.drift = 0.25;
  const WarmUpState state = after(simulate_trial(fault, 40, 2), 40);
  CHECK_FALSE(state.ready);
  CHECK(held_by(state, HoldBackKind::kMoving));
  CHECK(state.holding_back[0].text.find("landing along the table still "
                                        "moves by") == 0);
  CHECK(state.holding_back[0].value == doctest::Approx(0.25 * 35).epsilon(0.4));
}

TEST_CASE("warm-up: settling is dropped from the window") {
  LauncherFault fault;
  fault.amplitude = 10;
  fault.tau = 5;
  const WarmUpState state = first_ready(simulate_trial(fault, 90, 3), 90);
  CHECK(state.ready);
  CHECK(state.first >= 5);
  CHECK(state.first <= 40);
}

TEST_CASE("warm-up: tolerances of the profile") {
  const SimulatedTrial trial = simulate_trial({}, 50, 4);  // x: sd 35 mm
  QualityOptions options;
  options.tolerances = {{"x_mm", kNaN, 20}};
  const WarmUpState wide = after(trial, 50, options);
  CHECK_FALSE(wide.ready);
  CHECK(held_by(wide, HoldBackKind::kSpreadWide));
  options.tolerances = {{"x_mm", kNaN, 39}};
  CHECK(held_by(after(trial, 50, options), HoldBackKind::kSpreadUnknown));
  options.tolerances = {{"x_mm", kNaN, 80}};
  CHECK(first_ready(trial, 50, options).ready);
  options.tolerances = {{"x_mm", 5, kNaN}};
  const WarmUpState strict = after(trial, 50, options);
  CHECK(held_by(strict, HoldBackKind::kDriftUnknown));
  CHECK(strict.holding_back[0].text.find("allowed is 5.0 mm") !=
        std::string::npos);
}

TEST_CASE("warm-up: a spread that changes, mis-feeds, missing values") {
  LauncherFault growth;
  growth.growth = 6;
  CHECK(held_by(after(simulate_trial(growth, 70, 5), 70),
                HoldBackKind::kSpreadChanging));
  SimulatedTrial trial = simulate_trial({}, 50, 6);
  trial.table.values(22, 0) += 1000;
  trial.table.values(30, 1) -= 1000;
  trial.table.values.row(35).setConstant(kNaN);
  trial.table.values(41, 2) = kNaN;
  CHECK(after(trial, 50).ready);
  SimulatedTrial blind = simulate_trial({}, 50, 7);
  blind.table.values.col(2).setConstant(kNaN);
  CHECK_FALSE(after(blind, 50).ready);
  blind.table.values.setConstant(kNaN);
  CHECK(held_by(after(blind, 50), HoldBackKind::kTooFew));
}

TEST_CASE("clean series: sums give the fit of the values themselves") {
  std::vector<double> t;
  std::vector<double> y;
  std::vector<double> with_gaps;
  RandomEngine engine = derived_engine(122, "series");
  std::normal_distribution<double> normal(1000, 3);
  for (int i = 0; i < 30; ++i) {
    with_gaps.push_back(i % 7 == 3 ? kNaN : normal(engine) + 0.2 * i);
    if (i < 10 || !std::isfinite(with_gaps.back())) continue;
    t.push_back(i);
    y.push_back(with_gaps.back());
  }
  const StretchFit fit = CleanSeries(with_gaps).fit(10, 29);
  const LinearTrend plain = linear_trend(t, y);
  CHECK(fit.n == plain.n);
  CHECK(fit.slope == doctest::Approx(plain.slope).epsilon(1e-9));
  CHECK(fit.slope_se == doctest::Approx(plain.slope_se).epsilon(1e-9));
  CHECK(fit.residual_sd == doctest::Approx(plain.residual_sd).epsilon(1e-9));
  with_gaps[15] = 2000;
  CHECK(std::isnan(set_wild_aside(with_gaps)[15]));
  CHECK(CleanSeries(with_gaps).fit(10, 29).residual_sd < 10);
  CHECK(CleanSeries({}).size() == 0);
  CHECK(CleanSeries({kNaN, kNaN, kNaN}).fit(0, 2).n == 0);
  CHECK(CleanSeries(std::vector<double>(20, 5.0)).fit(0, 19).residual_sd == 0);
}

TEST_CASE("clean series: short-term spread and bends, by hand") {
  std::vector<double> values;
  for (int i = 0; i < 20; ++i) values.push_back(i % 2 == 0 ? 1 : -1);
  // Every difference is 2: sd = sqrt(4 / 2).
  CHECK(CleanSeries(values).short_term_sd(0, 19) ==
        doctest::Approx(std::sqrt(2.0)));
  CHECK(CleanSeries({1, kNaN, 3}).short_term_sd(0, 2) == 0);
  // 2 + 3 i + 0.5 i^2 and a residual at right angles to all three: the bend is
  // 0.5 in units of one feed, its error that of the residual.
  std::vector<double> bent;
  const double residual[8] = {1, -1, -1, 1, 1, -1, -1, 1};
  double qq = 0;
  double squares = 0;
  double products = 0;
  for (int i = 0; i < 8; ++i) {
    bent.push_back(2 + 3.0 * i + 0.5 * i * i + residual[i]);
    const double u = i - 3.5;
    const double q = u * u - 5.25;  // mean of u^2
    qq += q * q;
    products += q * residual[i];
  }
  const double bend = 0.5 + products / qq;
  for (int i = 0; i < 8; ++i) {
    const double u = i - 3.5;
    double slope = 0;
    for (int k = 0; k < 8; ++k) slope += (k - 3.5) * residual[k] / 42;
    squares +=
        std::pow(residual[i] - slope * u - (bend - 0.5) * (u * u - 5.25), 2);
  }
  CHECK(CleanSeries(bent).bend(0, 7).t ==
        doctest::Approx(bend / std::sqrt(squares / 5 / qq)));
  CHECK(CleanSeries(std::vector<double>(20, 5.0)).bend(0, 19).t == 0);
  CHECK(CleanSeries({1, 4, 9, 16, 25}).bend(0, 4).t == 0);
}

TEST_CASE("warm-up: a launcher that swings is told so, and not ready") {
  LauncherFault fault;
  fault.swing = 3;
  fault.period = 40;
  const WarmUpState state = after(simulate_trial(fault, 100, 8), 100);
  CHECK_FALSE(state.ready);
  REQUIRE(held_by(state, HoldBackKind::kSwings));
  bool told = false;
  for (const HoldBack& one : state.holding_back) {
    if (one.kind != HoldBackKind::kSwings || one.characteristic != 0) continue;
    told = true;
    CHECK(one.text.find("the launcher swings with a period of about 4") == 0);
    CHECK(one.value == doctest::Approx(2 * 3 * 35).epsilon(0.2));
    CHECK(one.limit == doctest::Approx(3 * 35).epsilon(0.3));
  }
  CHECK(told);
  // One that swings by less than the tolerance is ready all the same.
  fault.swing = 0.6;
  CHECK(after(simulate_trial(fault, 100, 8), 100).ready);
}

TEST_CASE("warm-up: the tolerance is of the scatter from feed to feed") {
  // A swing of 12 feeds goes on through any window: the sd of all feeds holds
  // it, that of neighbours does not.
  LauncherFault fault;
  fault.memory = 0.6;
  double neighbours = 0;
  double all = 0;
  for (std::uint64_t k = 0; k < 20; ++k) {
    const SimulatedTrial trial = simulate_trial(fault, 60, 900 + k);
    std::vector<double> x(trial.table.values.col(0).begin(),
                          trial.table.values.col(0).end());
    neighbours += CleanSeries(x).short_term_sd(0, 59);
    all += CleanSeries(x).fit(0, 59).residual_sd;
    QualityOptions options;
    options.tolerances = {{"y_mm", 1e-6}, {"x_mm", kNaN}};
    for (const HoldBack& one : after(trial, 60, options).holding_back) {
      if (one.kind != HoldBackKind::kDriftUnknown || one.characteristic != 0) {
        continue;
      }
      CHECK(one.limit < 3.01 * 35);
    }
  }
  // sqrt(1 - 0.6) of the whole.
  CHECK(neighbours / all == doctest::Approx(std::sqrt(0.4)).epsilon(0.15));
}

TEST_CASE("warm-up: the window does not begin within a settling that is seen") {
  LauncherFault fault;
  fault.amplitude = 10;
  fault.tau = 20;
  int ready = 0;
  for (std::uint64_t k = 0; k < 5; ++k) {
    const WarmUpState state = after(simulate_trial(fault, 100, 950 + k), 100);
    // Whatever holds it back is said.
    CHECK(state.ready == state.holding_back.empty());
    for (int feeds = 30; feeds < 100; feeds += 7) {
      const WarmUpState early =
          after(simulate_trial(fault, 100, 950 + k), feeds);
      CHECK(early.ready == early.holding_back.empty());
    }
    if (!state.ready) continue;
    ++ready;
    // 10 sd come down to one after 20 ln 10 = 46 feeds.
    CHECK(state.first >= 38);
  }
  CHECK(ready >= 3);
}

TEST_CASE("settling: a known curve comes back, a line goes on") {
  std::vector<double> settling;
  std::vector<double> line;
  RandomEngine engine = derived_engine(123, "settling");
  std::normal_distribution<double> normal;
  for (int i = 0; i < 80; ++i) {
    settling.push_back(10 * std::exp(-i / 20.0) + normal(engine));
    line.push_back(0.1 * i + normal(engine));
  }
  const Settling a = fit_settling(settling, 30, 0.95);
  REQUIRE(a.fits);
  CHECK(a.certain);
  CHECK(a.tau == doctest::Approx(20).epsilon(0.25));
  CHECK(a.amplitude == doctest::Approx(10).epsilon(0.15));
  CHECK(a.movement < 1);
  CHECK(a.feeds_until(1) == 0);
  const Settling b = fit_settling(line, 30, 0.95);
  REQUIRE(b.fits);
  CHECK(b.movement > 2.5);
  CHECK(b.feeds_until(1) == 0);  // a line never settles
  // After 40 feeds 10 e^-2 sd are left, of which 1 - e^-1.5 move in 30 feeds.
  settling.resize(40);
  const Settling early = fit_settling(settling, 30, 0.95);
  REQUIRE(early.fits);
  CHECK(early.ahead == doctest::Approx(1.05).epsilon(0.5));
  CHECK(early.feeds_until(early.ahead / 2) ==
        doctest::Approx(early.tau * std::log(2.0)).epsilon(0.1));
  for (int i = 40; i < 80; ++i) line[static_cast<std::size_t>(i)] += 20;
  CHECK_FALSE(fit_settling(line, 30, 0.95).fits);  // a step
  CHECK_FALSE(fit_settling({}, 30, 0.95).fits);
  CHECK_FALSE(fit_settling({1, 2, 3}, 30, 0.95).fits);
  // Noise alone has no settling time.
  int certain = 0;
  for (int k = 0; k < 100; ++k) {
    std::vector<double> noise;
    for (int i = 0; i < 40; ++i) noise.push_back(normal(engine));
    certain += fit_settling(noise, 30, 0.95).certain;
  }
  CHECK(certain <= 2);
}
