// SPDX-License-Identifier: MIT
#include "charts/guaranteed_joint.h"

#include "base/error.h"
#include "base/random.h"
#include "charts/ewma_run_length.h"
#include "charts/guaranteed_width.h"
#include "charts/mewma_run_length.h"
#include "charts/t2.h"
#include "stats/covariance.h"
#include "support/normal_vectors.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <Eigen/Cholesky>
#include <doctest/doctest.h>

using namespace evenfeed;

// tests/bench/guarantee does this at run length 1000 and for many sizes.
TEST_CASE("guaranteed joint limits: nine baselines in ten keep their promise") {
  constexpr int kP = 4;
  constexpr int kN = 26;
  constexpr int kRun = 200;
  constexpr double kLambda = 0.1;
  constexpr int kBaselines = 100;
  constexpr int kFeeds = 30 * kRun;
  const GuaranteedJoint limits = guaranteed_joint(kP, kN, kLambda, kRun, 0.9);
  int t2_kept = 0;
  int mewma_kept = 0;
  for (int b = 0; b < kBaselines; ++b) {
    RandomEngine engine = derived_engine(44, "guaranteed joint", b);
    const MeanCovariance fit = mean_covariance(normal_vectors(kN, kP, engine));
    Eigen::MatrixXd x = normal_vectors(kFeeds, kP, engine).transpose();
    x.colwise() -= fit.mean;
    const Eigen::MatrixXd deviations = fit.covariance.llt().matrixL().solve(x);
    int far = 0;
    int crossed = 0;
    Eigen::VectorXd z = Eigen::VectorXd::Zero(kP);
    double kept = 1;
    for (int i = 0; i < kFeeds; ++i) {
      far += deviations.col(i).squaredNorm() > limits.t2;
      z += kLambda * (deviations.col(i) - z);
      kept *= (1 - kLambda) * (1 - kLambda);
      if (z.squaredNorm() >
          limits.mewma * kLambda / (2 - kLambda) * (1 - kept)) {
        ++crossed;
        z.setZero();
        kept = 1;
      }
    }
    t2_kept += far * kRun <= kFeeds;
    mewma_kept += crossed * kRun <= kFeeds;
  }
  // 0.9 with the noise of 100 baselines.
  CHECK(t2_kept >= 81);
  CHECK(t2_kept < 98);
  CHECK(mewma_kept >= 81);
  CHECK(mewma_kept < 98);
}

TEST_CASE("guaranteed joint limits: those of one characteristic are known") {
  // By integrals instead of drawn baselines; the first is the two-sided
  // tolerance factor.
  int sizes = 0;
  for (const int n : {20, 26, 50, 200}) {
    const GuaranteedJoint limits = guaranteed_joint(1, n, 0.1, 1000, 0.9);
    const double alone = guaranteed_individuals_width(1000, n, 0.9);
    CHECK(limits.t2 == doctest::Approx(alone * alone).epsilon(0.04));
    const double smoothed = guaranteed_ewma_width(0.1, 1000, n, 0.9) *
                            ewma_width(0.1, 1000, EwmaLimits::kFixed) /
                            ewma_width(0.1, 1000, EwmaLimits::kGrowing);
    CHECK(limits.mewma == doctest::Approx(smoothed * smoothed).epsilon(0.04));
    ++sizes;
  }
  CHECK(sizes == 4);
}

TEST_CASE("guaranteed joint limits: narrower with more vectors, never too") {
  const GuaranteedJoint few = guaranteed_joint(2, 20, 0.2, 50, 0.9);
  const GuaranteedJoint more = guaranteed_joint(2, 60, 0.2, 50, 0.9);
  const GuaranteedJoint many = guaranteed_joint(2, 200000, 0.2, 50, 0.9);
  CHECK(few.t2 > more.t2);
  CHECK(more.t2 > many.t2);
  CHECK(few.mewma > more.mewma);
  CHECK(more.mewma > many.mewma);
  CHECK(few.spread > more.spread);
  CHECK(more.spread > many.spread);
  CHECK(many.t2 == doctest::Approx(t2_limit_known(2, 1 / 50.)).epsilon(0.01));
  CHECK(many.mewma == doctest::Approx(mewma_limit(2, 0.2, 50)).epsilon(0.01));
  CHECK(
      many.spread ==
      doctest::Approx(ewma_width(0.2, 25, EwmaLimits::kGrowing)).epsilon(0.01));
  // On average a limit for an estimated baseline would be narrower.
  CHECK(few.t2 > t2_limit_phase2(2, 20, 1 / 50.));
  // More confidence asks for more.
  CHECK(guaranteed_joint(2, 20, 0.2, 50, 0.95).mewma > few.mewma);
}

TEST_CASE("guaranteed joint limits: what is refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(guaranteed_joint(4, 6, 0.1, 1000, 0.9), std::logic_error);
  CHECK_THROWS_AS(guaranteed_joint(0, 60, 0.1, 1000, 0.9), std::logic_error);
  CHECK_THROWS_AS(guaranteed_joint(2, 60, nan, 1000, 0.9), UsageError);
  CHECK_THROWS_AS(guaranteed_joint(2, 60, 0.1, nan, 0.9), UsageError);
  CHECK_THROWS_AS(guaranteed_joint(2, 60, 0.1, 1000, 1), UsageError);
}
