// SPDX-License-Identifier: MIT
#include "charts/guaranteed_joint.h"

#include "base/random.h"
#include "charts/ewma_run_length.h"
#include "charts/mewma_run_length.h"
#include "charts/t2.h"
#include "stats/covariance.h"

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Eigen::VectorXd draw(int p, RandomEngine& engine) {
  std::normal_distribution<double> normal;
  Eigen::VectorXd x(p);
  for (double& one : x) one = normal(engine);
  return x;
}

}  // namespace

TEST_CASE("guaranteed joint limits: nine baselines in ten keep their promise") {
  constexpr int kP = 3;
  constexpr int kN = 26;
  constexpr double kRun = 50;
  constexpr double kLambda = 0.2;
  constexpr int kBaselines = 120;
  const GuaranteedJoint limits = guaranteed_joint(kP, kN, kLambda, kRun, 0.9);
  int t2_kept = 0;
  int mewma_kept = 0;
  for (int b = 0; b < kBaselines; ++b) {
    RandomEngine engine = derived_engine(44, "guaranteed joint", b);
    Eigen::MatrixXd rows(kN, kP);
    for (int i = 0; i < kN; ++i) rows.row(i) = draw(kP, engine).transpose();
    const MeanCovariance fit = mean_covariance(rows);
    const Mahalanobis metric(fit.mean, fit.covariance);
    const Mahalanobis from_zero(Eigen::VectorXd::Zero(kP), fit.covariance);
    int far = 0;
    int lengths = 0;
    constexpr int kRuns = 60;
    int drawn = 0;
    for (int run = 0; run < kRuns; ++run) {
      Eigen::VectorXd z = Eigen::VectorXd::Zero(kP);
      double kept = 1;
      for (int i = 1; i <= 400; ++i) {
        const Eigen::VectorXd x = draw(kP, engine);
        far += metric.squared(x) > limits.t2;
        ++drawn;
        z = kLambda * (x - fit.mean) + (1 - kLambda) * z;
        kept *= (1 - kLambda) * (1 - kLambda);
        const double variance = kLambda / (2 - kLambda) * (1 - kept);
        if (from_zero.squared(z) > limits.mewma * variance || i == 400) {
          lengths += i;
          break;
        }
      }
    }
    t2_kept += far <= drawn / kRun;
    mewma_kept += lengths >= kRuns * kRun;
  }
  // 0.9 with the noise of 120 baselines and of the runs of each.
  CHECK(t2_kept >= 0.8 * kBaselines);
  CHECK(t2_kept < kBaselines);
  CHECK(mewma_kept >= 0.8 * kBaselines);
  CHECK(mewma_kept < kBaselines);
}

TEST_CASE("guaranteed joint limits: narrower with more vectors, never too") {
  const GuaranteedJoint few = guaranteed_joint(2, 20, 0.2, 50, 0.9);
  const GuaranteedJoint more = guaranteed_joint(2, 60, 0.2, 50, 0.9);
  const GuaranteedJoint many = guaranteed_joint(2, 2000, 0.2, 50, 0.9);
  CHECK(few.t2 > more.t2);
  CHECK(more.t2 > many.t2);
  CHECK(few.mewma > more.mewma);
  CHECK(more.mewma > many.mewma);
  CHECK(few.spread > more.spread);
  CHECK(many.t2 == doctest::Approx(t2_limit_known(2, 1 / 50.)).epsilon(0.05));
  // Growing limits and the error of the mean that remains need some more.
  CHECK(many.mewma > mewma_limit(2, 0.2, 50));
  CHECK(many.mewma < 1.15 * mewma_limit(2, 0.2, 50));
  CHECK(
      many.spread ==
      doctest::Approx(ewma_width(0.2, 25, EwmaLimits::kGrowing)).epsilon(0.06));
  // On average a limit for an estimated baseline would be narrower.
  CHECK(few.t2 > t2_limit_phase2(2, 20, 1 / 50.));
  // A size between two rungs has the limits of the lower one.
  CHECK(guaranteed_ladder(61) == 60);
  CHECK(guaranteed_joint(2, 61, 0.2, 50, 0.9).t2 == more.t2);
  CHECK_THROWS(guaranteed_joint(4, 6, 0.1, 1000, 0.9));
  CHECK_THROWS(guaranteed_joint(0, 60, 0.1, 1000, 0.9));
}
