// SPDX-License-Identifier: MIT
#include "pairing/feed_slopes.h"

#include "stats/least_squares.h"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Two characteristics of correlation 0.6, moved by 1 in the first sample; the
// outcome follows them by 2 and -1, and jumps by 5 between the samples.
FeedsAndOutcomes invented(int n, double measured, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  FeedsAndOutcomes data;
  data.feeds.resize(n, 2);
  data.outcome.resize(n);
  data.side.resize(n);
  for (int i = 0; i < n; ++i) {
    const bool first = i < n / 2;
    const double u = normal(random);
    const double x = u + (first ? 1 : 0);
    const double v = 0.6 * u + 0.8 * normal(random);
    data.side(i) = first ? 1 : -1;
    data.outcome(i) = 2 * x - v + (first ? 5 : 0) + 0.5 * normal(random);
    data.feeds(i, 0) = x + measured * normal(random);
    data.feeds(i, 1) = v + measured * normal(random);
  }
  data.noise = measured * measured * Eigen::MatrixXd::Identity(2, 2);
  return data;
}

}  // namespace

TEST_CASE("without measurement: least squares with a mean for each sample") {
  const FeedsAndOutcomes data = invented(40, 0, 1);
  const FeedSlopes fit = fit_feed_slopes(data, 8);
  REQUIRE(fit.ok);
  Eigen::MatrixXd x(40, 4);
  x << (data.side.array() > 0).cast<double>().matrix(),
      (data.side.array() < 0).cast<double>().matrix(), data.feeds;
  const LinearModel model =
      fit_linear_model(x, data.outcome, ResidualSpread::kDiffers);
  REQUIRE(model.ok);
  CHECK((fit.plain - model.coefficients.tail(2)).norm() < 1e-9);
  CHECK((fit.launcher - fit.plain).norm() < 1e-9);
  CHECK(fit.degrees == model.degrees);
  // The influences are those of HC3.
  const Eigen::Matrix2d covariance =
      fit.plain_influence.transpose() * fit.plain_influence;
  CHECK((covariance - model.covariance.bottomRightCorner(2, 2)).norm() <
        1e-9 * covariance.norm());
  const Eigen::Matrix2d launcher =
      fit.launcher_influence.transpose() * fit.launcher_influence;
  CHECK((covariance - launcher).norm() < 1e-9 * covariance.norm());
}

TEST_CASE("the launcher's slopes are those of the true feed") {
  const FeedSlopes fit = fit_feed_slopes(invented(40000, 0.7, 2), 8);
  REQUIRE(fit.ok);
  CHECK(fit.launcher(0) == doctest::Approx(2).epsilon(0.03));
  CHECK(fit.launcher(1) == doctest::Approx(-1).epsilon(0.05));
  // (S + N)^-1 S of (2, -1) by hand: S + N = [1.49 .6; .6 1.49].
  CHECK(fit.plain(0) == doctest::Approx(1.057).epsilon(0.03));
  CHECK(fit.plain(1) == doctest::Approx(-0.291).epsilon(0.08));
  CHECK(fit.launcher_spread(0, 0) == doctest::Approx(1).epsilon(0.03));
  CHECK(fit.launcher_spread(0, 1) == doctest::Approx(0.6).epsilon(0.03));
  CHECK(fit.shift(0) == doctest::Approx(1).epsilon(0.03));
}

TEST_CASE("the slopes' influences are their standard errors") {
  constexpr int kRuns = 300;
  Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(2);
  Eigen::ArrayXd squares = Eigen::ArrayXd::Zero(2);
  Eigen::ArrayXd stated = Eigen::ArrayXd::Zero(2);
  for (unsigned run = 0; run < kRuns; ++run) {
    const FeedSlopes fit = fit_feed_slopes(invented(120, 0.3, 10 + run), 8);
    REQUIRE(fit.ok);
    sum += fit.launcher.array() / kRuns;
    squares += fit.launcher.array().square() / kRuns;
    stated +=
        fit.launcher_influence.array().square().colwise().sum().transpose() /
        kRuns;
  }
  const Eigen::ArrayXd seen = squares - sum.square();
  CHECK(seen(0) == doctest::Approx(stated(0)).epsilon(0.25));
  CHECK(seen(1) == doctest::Approx(stated(1)).epsilon(0.25));
}

TEST_CASE("what single feeds move a slope by comes to nothing together") {
  // At the slopes that were found; what was taken off as measurement belongs
  // to it: without it the sum is 0.5 and -0.25 here.
  const FeedSlopes fit = fit_feed_slopes(invented(400, 0.5, 4), 8);
  REQUIRE(fit.ok);
  CHECK(std::abs(fit.launcher_influence.col(0).sum()) < 0.05);
  CHECK(std::abs(fit.launcher_influence.col(1).sum()) < 0.05);
}

TEST_CASE("measurement that makes all of the spread is guarded against") {
  FeedsAndOutcomes data = invented(60, 0.2, 3);
  data.noise = 10 * Eigen::MatrixXd::Identity(2, 2);
  const FeedSlopes fit = fit_feed_slopes(data, 8);
  REQUIRE(fit.ok);
  // The launcher keeps the least share of every direction.
  const double least = least_launcher_share(58);
  CHECK(least == doctest::Approx(2 * std::sqrt(2 / 58.0)));
  CHECK((fit.launcher - fit.plain / least).norm() < 1e-9);
  CHECK(least_launcher_share(4) == 0.5);
}

TEST_CASE("slopes that cannot be: too few, or a feed that does not vary") {
  CHECK_FALSE(fit_feed_slopes(invented(11, 0, 1), 8).ok);
  CHECK(fit_feed_slopes(invented(12, 0, 1), 8).ok);
  FeedsAndOutcomes constant = invented(40, 0, 1);
  constant.feeds.col(1).setConstant(3);
  CHECK_FALSE(fit_feed_slopes(constant, 8).ok);
  FeedsAndOutcomes twice = invented(40, 0, 1);
  twice.feeds.col(1) = twice.feeds.col(0);
  CHECK_FALSE(fit_feed_slopes(twice, 8).ok);
  FeedsAndOutcomes none = invented(40, 0, 1);
  none.feeds.resize(40, 0);
  none.noise.resize(0, 0);
  CHECK_FALSE(fit_feed_slopes(none, 8).ok);
}
