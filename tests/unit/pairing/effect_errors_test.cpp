// SPDX-License-Identifier: MIT
// What the stated errors of an effect are made of, each part by itself.
#include "pairing/effect.h"
#include "stats/least_squares.h"
#include "unit/pairing/invented_samples.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

InventedTrial shifted_trial(unsigned seed, double shift_sd, double slope) {
  return invented_trial(seed, shift_sd, 0.25, slope);
}

Effect effect_of(const InventedTrial& trial) {
  const FeedDistance distance(trial.samples, {});
  const Matching matching = match(trial.samples, distance);
  return estimate_effect(
      trial.samples, matching, distance, trial.outcome, 0, 1, {});
}

// The samples' difference in a regression on the feed, errors by HC3.
struct Regression {
  double difference = 0;
  double error = 0;
};

Regression regression_of(const InventedTrial& trial) {
  const int of_a = trial.samples[0].size();
  const int of_b = trial.samples[1].size();
  Eigen::MatrixXd x = Eigen::MatrixXd::Zero(of_a + of_b, 4);
  x.col(0).head(of_a).setOnes();
  x.col(1).tail(of_b).setOnes();
  x.topRightCorner(of_a, 2) = trial.samples[0].values;
  x.bottomRightCorner(of_b, 2) = trial.samples[1].values;
  // Away from numbers that nearly are the constant's.
  x.col(2).array() -= 600;
  x.col(3).array() -= 5;
  Eigen::VectorXd y(of_a + of_b);
  y << trial.outcome.values[0], trial.outcome.values[1];
  const LinearModel model = fit_linear_model(x, y, ResidualSpread::kDiffers);
  const Eigen::Vector4d apart(1, -1, 0, 0);
  return {apart.dot(model.coefficients),
          std::sqrt(apart.dot(model.covariance * apart))};
}

}  // namespace

TEST_CASE("all feeds: the regression's difference, with the slopes' errors") {
  // Feeds two sd apart: most of the error is the slopes'.
  for (const unsigned seed : {10U, 20U, 30U, 40U}) {
    const InventedTrial trial = shifted_trial(seed, 2, 0.02);
    const Effect effect = effect_of(trial);
    const Regression wanted = regression_of(trial);
    CHECK(effect.all_feeds.value == doctest::Approx(wanted.difference));
    // Of a ratio: Approx allows its share of 1 too.
    CHECK(effect.all_feeds.se / wanted.error ==
          doctest::Approx(1).epsilon(0.03));
  }
}

TEST_CASE("pairs: the stated error is the scatter of the estimates") {
  constexpr int kRuns = 150;
  double sum = 0;
  double squares = 0;
  double stated = 0;
  for (unsigned run = 0; run < kRuns; ++run) {
    const Effect effect = effect_of(shifted_trial(7000 + 10 * run, 1.2, 0.02));
    REQUIRE(effect.corrected);
    sum += effect.matched.value / kRuns;
    squares += effect.matched.value * effect.matched.value / kRuns;
    stated += effect.matched.se * effect.matched.se / kRuns;
  }
  const double seen = std::sqrt(squares - sum * sum);
  CAPTURE(seen);
  // An sd of 150 is known to 6 %.
  CHECK(std::sqrt(stated) / seen == doctest::Approx(1).epsilon(0.08));
}

TEST_CASE("what films leave uncertain is known well: more degrees of freedom") {
  InventedTrial trial = shifted_trial(60, 0.5, 0.02);
  const Effect own = effect_of(trial);
  trial.outcome.shared = {0.03, 0.04};
  const Effect with = effect_of(trial);
  CHECK(own.films == 0);
  CHECK(with.films == doctest::Approx(0.05));
  CHECK(with.matched.value == doctest::Approx(own.matched.value));
  CHECK(with.matched.se == doctest::Approx(std::hypot(own.matched.se, 0.05)));
  // Satterthwaite: the films' part counts as known.
  CHECK(with.matched.degrees ==
        doctest::Approx(own.matched.degrees *
                        std::pow(with.matched.se / own.matched.se, 4)));
}

TEST_CASE("yes and no of two films: pairs are not merely counted") {
  InventedTrial trial = shifted_trial(80, 0, 0);
  trial.outcome.kind = OutcomeKind::kYesNo;
  for (Eigen::VectorXd& values : trial.outcome.values) {
    values = (values.array() > 0.1).cast<double>().matrix().eval();
  }
  const Effect counted = effect_of(trial);
  REQUIRE(counted.exact);
  trial.outcome.shared = {0.2, 0.2};
  const Effect of_films = effect_of(trial);
  CHECK_FALSE(of_films.exact);
  CHECK(of_films.matched.se > std::hypot(0.2, 0.2));
}
