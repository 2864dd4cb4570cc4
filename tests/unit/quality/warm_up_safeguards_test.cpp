// SPDX-License-Identifier: MIT
// The safeguards of the warm-up decision, each by itself: what every one of
// them holds back is worked out by hand, and feeds are sought on which it alone
// decides.
#include "base/random.h"
#include "quality/clean_series.h"
#include "quality/warm_up.h"
#include "stats/autocorrelation.h"
#include "stats/distributions.h"
#include "stats/trend.h"

#include <algorithm>
#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kHorizon = 30;

// Lag-1 autocorrelation `memory`, sd 1, on the way `mean(i)`.
template <typename Mean>
std::vector<double> series_of(int feeds,
                              double memory,
                              std::uint64_t index,
                              const Mean& mean) {
  RandomEngine engine = derived_engine(124, "safeguards", index);
  std::normal_distribution<double> normal;
  std::vector<double> values;
  double before = normal(engine);
  for (int i = 0; i < feeds; ++i) {
    before = memory * before + std::sqrt(1 - memory * memory) * normal(engine);
    values.push_back(before + mean(i));
  }
  return values;
}

double level(int /*feed*/) { return 0; }

WarmUpState state_of(const std::vector<double>& values,
                     const QualityOptions& options = {}) {
  WarmUp warm_up({"x_mm"}, options);
  for (const double x : values) {
    warm_up.add(Eigen::VectorXd::Constant(1, x));
  }
  return warm_up.state();
}

bool holds_back(const WarmUpState& state, HoldBackKind kind) {
  return std::any_of(state.holding_back.begin(),
                     state.holding_back.end(),
                     [&](const HoldBack& one) { return one.kind == kind; });
}

// The straight line through the window, from the values themselves.
struct Line {
  LinearTrend trend;
  double memory = 0;  // of what remains, as far as it is credible
  double widening() const { return std::sqrt((1 + memory) / (1 - memory)); }
  // Upper bound of the movement ahead with the confidence of one look.
  double movement(double confidence) const {
    return kHorizon * (std::abs(trend.slope) +
                       student_t_quantile(confidence, trend.n - 2) *
                           trend.slope_se * widening());
  }
};

Line line_through(const std::vector<double>& values, int first) {
  const std::vector<double> clean = CleanSeries(values).values();
  std::vector<double> t;
  std::vector<double> y;
  for (std::size_t i = static_cast<std::size_t>(first); i < clean.size(); ++i) {
    if (!std::isfinite(clean[i])) continue;
    t.push_back(static_cast<double>(i));
    y.push_back(clean[i]);
  }
  Line line;
  line.trend = linear_trend(t, y);
  std::vector<double> left(clean.begin() + first, clean.end());
  for (std::size_t i = 0; i < left.size(); ++i) {
    left[i] -= line.trend.slope * static_cast<double>(i);
  }
  line.memory =
      credible_autocorrelation(lag1_autocorrelation(left), line.trend.n);
  return line;
}

// 1 - 0.02 for the first looks, then the error falls with the cube of the
// feeds: (1.25 x 20 / n)^3.
double look_confidence(int feeds) {
  return 1 - 0.02 * std::min(1.0, std::pow(25.0 / feeds, 3));
}

}  // namespace

TEST_CASE("warm-up safeguard: every further look may err less") {
  CHECK(look_confidence(20) == doctest::Approx(0.98));
  CHECK(look_confidence(50) == doctest::Approx(0.9975));
  CHECK(look_confidence(100) == doctest::Approx(0.9996875));
  QualityOptions options;
  options.tolerances = {{"x_mm", 1e-6}};  // held back always: the bound is told
  for (const int feeds : {50, 100}) {
    CAPTURE(feeds);
    int compared = 0;
    for (std::uint64_t k = 0; k < 40; ++k) {
      const std::vector<double> values = series_of(feeds, 0, 100 + k, level);
      const WarmUpState state = state_of(values, options);
      if (!holds_back(state, HoldBackKind::kDriftUnknown)) continue;
      const Settling& settling = state.settling[0];
      const double bound =
          line_through(values, state.first).movement(look_confidence(feeds));
      if (settling.fits && settling.movement > bound) continue;
      CHECK(state.holding_back[0].value == doctest::Approx(bound));
      ++compared;
    }
    CHECK(compared >= 3);
  }
}

TEST_CASE("warm-up safeguard: memory from feed to feed widens the drift") {
  QualityOptions options;
  options.tolerances = {{"x_mm", 1e-6}};
  int compared = 0;
  for (std::uint64_t k = 0; k < 60; ++k) {
    const std::vector<double> values = series_of(50, 0.6, 200 + k, level);
    const WarmUpState state = state_of(values, options);
    if (!holds_back(state, HoldBackKind::kDriftUnknown)) continue;
    const Line line = line_through(values, state.first);
    const double bound = line.movement(look_confidence(50));
    const Settling& settling = state.settling[0];
    if (line.memory == 0 || (settling.fits && settling.movement > bound)) {
      continue;
    }
    CHECK(state.holding_back[0].value == doctest::Approx(bound).epsilon(0.02));
    CHECK(line.widening() > 1.2);
    ++compared;
  }
  CHECK(compared >= 3);
}

TEST_CASE("warm-up safeguard: memory is not taken for a change") {
  // 20 feeds: one window, which either shows a change or does not.
  const double critical = student_t_quantile(1 - 0.02 / 4 / 2, 18);
  int spared = 0;
  int moving = 0;
  for (std::uint64_t k = 0; k < 300; ++k) {
    const std::vector<double> values = series_of(20, 0.7, 300 + k, level);
    const CleanSeries clean(values);
    const Line line = line_through(values, 0);
    if (line.trend.n != 20 || line.memory == 0) continue;
    const double largest =
        std::max({std::abs(clean.split_t(0, 5, 19)),
                  std::abs(clean.split_t(0, 20 / 3, 19)),
                  std::abs(line.trend.slope / line.trend.slope_se)});
    const double relative = largest / critical;
    if (std::abs(clean.bend(0, 19).t) > critical) continue;
    if (relative <= 1 || std::abs(relative / line.widening() - 1) < 0.05) {
      continue;
    }
    const bool moves = relative > line.widening();
    const WarmUpState state = state_of(values);
    if (state.settling[0].certain) continue;  // that is held back as well
    (moves ? moving : spared) += 1;
    CHECK(holds_back(state, HoldBackKind::kMoving) == moves);
  }
  CHECK(spared >= 5);
  CHECK(moving >= 1);
}

TEST_CASE("a settling that has not come down yet is not cut off") {
  // Seen for less than twice its time: where it will have come down is guessed.
  // Feeds that it is believed to have lasted for would leave no window at all;
  // the longest one without a change is judged for drift instead.
  constexpr double kTau = 40;
  constexpr int kFeeds = 60;
  const int shortest = QualityOptions().warm_up.window;
  int certain = 0;
  for (std::uint64_t run = 0; run < 40; ++run) {
    const WarmUpState state = state_of(series_of(
        kFeeds, 0, 900 + run, [](int i) { return 5 * std::exp(-i / kTau); }));
    REQUIRE(state.settling.size() == 1);
    const Settling& settling = state.settling.front();
    const double lasts = settling.tau * std::log(std::abs(settling.amplitude));
    if (!settling.certain || 2 * settling.tau <= kFeeds - 1 ||
        lasts < kFeeds - shortest) {
      continue;
    }
    ++certain;
    CHECK(state.first < kFeeds - shortest);
  }
  CHECK(certain >= 15);
}
