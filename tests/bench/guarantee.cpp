// SPDX-License-Identifier: MIT
// How many baselines keep the guarantee of the joint charts: baselines of n
// normal vectors are drawn, and each one's in-control run lengths with its own
// mean and covariance are measured by drawn feeds.
//   guarantee [BASELINES [RUN_LENGTH [LAMBDA]]]      default 200, 1000, 0.1
// A baseline counts as kept when its mean run length is at least the one
// designed for, measured over 150 run lengths. Expected: 90 %. Beside it, how
// long the first design of a size takes.
#include "base/parallel.h"
#include "base/random.h"
#include "charts/guaranteed_joint.h"
#include "charts/guaranteed_width.h"
#include "charts/t2.h"
#include "stats/covariance.h"
#include "support/normal_vectors.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include <Eigen/Cholesky>

using namespace evenfeed;

namespace {

constexpr int kRuns = 150;

struct Design {
  int p = 0;
  int n = 0;
  double lambda = 0;
  double run_length = 0;
  GuaranteedJoint limits;
};

struct Kept {
  double t2 = 0;
  double mewma = 0;
  double spread = 0;
};

// t2_score() by a table over the square root of T2.
class Scores {
 public:
  Scores(int p, int n) {
    for (int k = 0; k < kSize; ++k) {
      table_.push_back(t2_score(kStep * k * kStep * k, p, n));
    }
  }
  double operator()(double t2) const {
    const auto k = static_cast<std::size_t>(std::sqrt(t2) / kStep + 0.5);
    return table_[std::min(k, table_.size() - 1)];
  }

 private:
  static constexpr int kSize = 4000;
  static constexpr double kStep = 0.005;
  std::vector<double> table_;
};

// A baseline keeps a chart's promise when no more than kRuns signals come in
// kRuns run lengths; charts start anew after a signal.
Kept judge(const Design& design, const Scores& scores, std::uint64_t seed) {
  RandomEngine engine = derived_engine(4711, "guarantee", seed);
  const MeanCovariance fit =
      mean_covariance(normal_vectors(design.n, design.p, engine));
  const Eigen::LLT<Eigen::MatrixXd> factor(fit.covariance);
  const double lambda = design.lambda;
  const double settled = lambda / (2 - lambda);
  const double keep2 = (1 - lambda) * (1 - lambda);
  int t2_signals = 0;
  int mewma_signals = 0;
  int spread_signals = 0;
  Eigen::VectorXd z = Eigen::VectorXd::Zero(design.p);
  double mewma_decay = 1;
  double average = 0;
  double spread_decay = 1;
  std::normal_distribution<double> normal;
  Eigen::VectorXd x(design.p);
  const long feeds = std::lround(kRuns * design.run_length);
  for (long i = 0; i < feeds; ++i) {
    for (double& one : x) one = normal(engine);
    x -= fit.mean;
    factor.matrixL().solveInPlace(x);
    const double distance2 = x.squaredNorm();
    t2_signals += distance2 > design.limits.t2;
    z += lambda * (x - z);
    mewma_decay *= keep2;
    if (z.squaredNorm() > design.limits.mewma * settled * (1 - mewma_decay)) {
      ++mewma_signals;
      z.setZero();
      mewma_decay = 1;
    }
    average += lambda * (scores(distance2) - average);
    spread_decay *= keep2;
    if (average >
        design.limits.spread * std::sqrt(settled * (1 - spread_decay))) {
      ++spread_signals;
      average = 0;
      spread_decay = 1;
    }
  }
  return {static_cast<double>(t2_signals <= kRuns),
          static_cast<double>(mewma_signals <= kRuns),
          static_cast<double>(spread_signals <= kRuns)};
}

Kept measure(const Design& design, int baselines) {
  const Scores scores(design.p, design.n);
  std::vector<Kept> parts(static_cast<std::size_t>(baselines));
  for_each_index(parts.size(),
                 [&](std::size_t k) { parts[k] = judge(design, scores, k); });
  Kept all;
  for (const Kept& one : parts) {
    all.t2 += 100 * one.t2 / baselines;
    all.mewma += 100 * one.mewma / baselines;
    all.spread += 100 * one.spread / baselines;
  }
  return all;
}

}  // namespace

int main(int argc, char** argv) {
  const int baselines = argc > 1 ? std::stoi(argv[1]) : 200;
  const double run_length = argc > 2 ? std::stod(argv[2]) : 1000;
  const double lambda = argc > 3 ? std::stod(argv[3]) : 0.1;
  std::printf(
      "%d baselines a line, run length %g, lambda %g\n\n"
      "| p | n | limits of T2, MEWMA, spread | design ms | T2 kept | MEWMA "
      "kept | spread kept |\n|---|---|---|---|---|---|---|\n",
      baselines,
      run_length,
      lambda);
  for (const int p : {1, 2, 4, 6}) {
    for (const int n : {20, 26, 40, 80}) {
      const auto start = std::chrono::steady_clock::now();
      const Design design{p,
                          n,
                          lambda,
                          run_length,
                          guaranteed_joint(p, n, lambda, run_length, 0.9)};
      const double ms = std::chrono::duration<double, std::milli>(
                            std::chrono::steady_clock::now() - start)
                            .count();
      const Kept kept = measure(design, baselines);
      std::printf(
          "| %d | %d | %.2f, %.2f, %.3f | %.0f | %.1f %% | %.1f %% | "
          "%.1f %% |\n",
          p,
          n,
          design.limits.t2,
          design.limits.mewma,
          design.limits.spread,
          ms,
          kept.t2,
          kept.mewma,
          kept.spread);
      std::fflush(stdout);
    }
  }
  return 0;
}
