// SPDX-License-Identifier: MIT
#include "charts/guaranteed_joint.h"

#include "base/check.h"
#include "base/random.h"
#include "charts/ewma_run_length.h"
#include "charts/mewma_run_length.h"
#include "charts/t2.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <numbers>
#include <random>
#include <tuple>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

namespace evenfeed {
namespace {

constexpr int kBaselines = 250;
constexpr int kSeries = 40;
// Longer runs than this are not drawn; the ratio to known parameters hardly
// changes any more.
constexpr double kLongestRun = 2000;

// What n vectors would have said about a standard normal process.
struct DrawnBaseline {
  Eigen::VectorXd mean;
  Eigen::MatrixXd root;  // lower, root root' = covariance
};

// Mean, and the covariance by Bartlett's decomposition. Every size of baseline
// takes the same draws, so that limits fall smoothly with it.
DrawnBaseline draw_baseline(int p, int n, RandomEngine& engine) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform(1e-9, 1);
  DrawnBaseline one{Eigen::VectorXd(p), Eigen::MatrixXd::Zero(p, p)};
  for (int i = 0; i < p; ++i) {
    one.mean(i) = normal(engine) / std::sqrt(n);
    for (int j = 0; j < i; ++j) one.root(i, j) = normal(engine);
    one.root(i, i) =
        std::sqrt(chi_squared_quantile(uniform(engine), n - 1.0 - i));
  }
  one.root /= std::sqrt(n - 1.0);
  return one;
}

// The value that the squared distance from the baseline exceeds with
// probability `tail`.
double distance_upper(const DrawnBaseline& baseline, double tail) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(
      baseline.root * baseline.root.transpose());
  const Eigen::ArrayXd weight = eigen.eigenvalues().array().inverse();
  const Eigen::ArrayXd off =
      (eigen.eigenvectors().transpose() * baseline.mean).array().square();
  const auto moment = [&](int k) {
    return (weight.pow(k) * (1 + k * off)).sum();
  };
  const double c2 = moment(2);
  const double c3 = moment(3);
  const double degrees = c2 * c2 * c2 / (c3 * c3);
  return moment(1) +
         (chi_squared_upper(tail, degrees) - degrees) * std::sqrt(c2 / degrees);
}

// Series of an in-control process and their EWMAs, begun at 0.
struct DrawnSeries {
  int p = 0;
  int length = 0;
  std::vector<Eigen::MatrixXd> x;  // a column per feed
  std::vector<Eigen::MatrixXd> z;
  std::vector<double> reach;   // sum of the weights so far
  std::vector<double> growth;  // of the variance: 1 - (1 - lambda)^2i
};

// The statistic of smoothed vectors hardly changes from one feed to the next:
// looking at every third is as good, if that is done for known parameters too.
constexpr int kStride = 3;

DrawnSeries draw_series(int p,
                        double lambda,
                        int length,
                        RandomEngine& engine) {
  std::normal_distribution<double> normal;
  DrawnSeries drawn;
  drawn.p = p;
  drawn.length = length;
  for (int s = 0; s < kSeries; ++s) {
    Eigen::MatrixXd x(p, length);
    for (int i = 0; i < length; ++i) {
      for (int j = 0; j < p; ++j) x(j, i) = normal(engine);
    }
    Eigen::MatrixXd z = lambda * x;
    for (int i = 1; i < length; ++i) z.col(i) += (1 - lambda) * z.col(i - 1);
    drawn.x.push_back(std::move(x));
    drawn.z.push_back(std::move(z));
  }
  double kept = 1;
  for (int i = 0; i < length; ++i) {
    kept *= 1 - lambda;
    drawn.reach.push_back(1 - kept);
    drawn.growth.push_back(1 - kept * kept);
  }
  return drawn;
}

// Squared distances of every `stride`-th column from `mean`, or from `share`
// of it.
Eigen::RowVectorXd distances(const DrawnBaseline& baseline,
                             const Eigen::MatrixXd& columns,
                             const double* share,
                             int stride) {
  const Eigen::Index count = (columns.cols() + stride - 1) / stride;
  Eigen::MatrixXd off(columns.rows(), count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const double part = share == nullptr ? 1 : share[i * stride];
    off.col(i) = columns.col(i * stride) - part * baseline.mean;
  }
  baseline.root.triangularView<Eigen::Lower>().solveInPlace(off);
  return off.colwise().squaredNorm();
}

double mewma_median(const DrawnBaseline& baseline,
                    const DrawnSeries& drawn,
                    bool growing) {
  std::vector<double> maxima;
  for (const Eigen::MatrixXd& z : drawn.z) {
    const Eigen::RowVectorXd d2 =
        distances(baseline, z, drawn.reach.data(), kStride);
    double most = 0;
    for (Eigen::Index i = 0; i < d2.size(); ++i) {
      const double share =
          growing ? drawn.growth[static_cast<std::size_t>(i * kStride)] : 1;
      most = std::max(most, d2(i) / share);
    }
    maxima.push_back(most);
  }
  return median(maxima);
}

// t2_score() as a table over the logarithm of T2: it is asked a million times.
class ScoreTable {
 public:
  ScoreTable(int p, int n) {
    for (std::size_t k = 0; k < kSize; ++k) {
      const double t2 = std::exp(kLow + static_cast<double>(k) * kStep);
      scores_.push_back(t2_score(t2, p, n));
    }
  }
  double operator()(double t2) const {
    const double at = (std::log(t2) - kLow) / kStep;
    if (!(at > 0)) return scores_.front();
    const auto k = static_cast<std::size_t>(at);
    if (k + 1 >= kSize) return scores_.back();
    const double part = at - static_cast<double>(k);
    return scores_[k] + part * (scores_[k + 1] - scores_[k]);
  }

 private:
  static constexpr std::size_t kSize = 600;
  static constexpr double kLow = -16;
  static constexpr double kStep = 0.05;
  std::vector<double> scores_;
};

double spread_median(const DrawnBaseline& baseline,
                     const DrawnSeries& drawn,
                     const ScoreTable& score,
                     double lambda) {
  std::vector<double> maxima;
  for (const Eigen::MatrixXd& x : drawn.x) {
    const Eigen::RowVectorXd t2 = distances(baseline, x, nullptr, 1);
    double most = 0;
    double average = 0;
    for (int i = 0; i < drawn.length; ++i) {
      average = lambda * score(t2(i)) + (1 - lambda) * average;
      most = std::max(
          most, average / std::sqrt(drawn.growth[static_cast<std::size_t>(i)]));
    }
    maxima.push_back(most);
  }
  return median(maxima);
}

double upper_share(std::vector<double> values, double confidence) {
  std::sort(values.begin(), values.end());
  const double at = confidence * static_cast<double>(values.size()) - 0.5;
  const auto k = static_cast<std::size_t>(std::max(0.0, at));
  const double part = std::max(0.0, at) - static_cast<double>(k);
  const std::size_t next = std::min(k + 1, values.size() - 1);
  return values[k] + part * (values[next] - values[k]);
}

GuaranteedJoint simulate(
    int p, int n, double lambda, double run_length, double confidence) {
  RandomEngine engine = derived_engine(
      1, "guaranteed joint limits", static_cast<std::uint64_t>(p));
  const double drawn_run = std::min(run_length, kLongestRun);
  const int length =
      std::max(1, static_cast<int>(std::lround(std::numbers::ln2 * drawn_run)));
  const DrawnSeries drawn = draw_series(p, lambda, length, engine);
  const ScoreTable estimated(p, n);
  // With so many vectors, parameters are as good as known.
  const ScoreTable known(p, 1000000);
  const DrawnBaseline truth{Eigen::VectorXd::Zero(p),
                            Eigen::MatrixXd::Identity(p, p)};
  // The integral equation is that of the settled covariance.
  const double mewma_known = mewma_median(truth, drawn, false);
  const double spread_known = spread_median(truth, drawn, known, lambda);
  std::vector<double> t2;
  std::vector<double> mewma;
  std::vector<double> spread;
  for (int b = 0; b < kBaselines; ++b) {
    const DrawnBaseline baseline = draw_baseline(p, n, engine);
    t2.push_back(distance_upper(baseline, 1 / run_length));
    mewma.push_back(mewma_median(baseline, drawn, true) / mewma_known);
    spread.push_back(spread_median(baseline, drawn, estimated, lambda) /
                     spread_known);
  }
  GuaranteedJoint out;
  out.t2 = upper_share(t2, confidence);
  out.mewma =
      mewma_limit(p, lambda, run_length) * upper_share(mewma, confidence);
  // Half of the alarms of the two-sided chart fall on the side that is used.
  out.spread = ewma_width(lambda, run_length / 2, EwmaLimits::kGrowing) *
               upper_share(spread, confidence);
  return out;
}

}  // namespace

int guaranteed_ladder(int n) {
  const int step = n < 30 ? 2 : n < 60 ? 5 : n < 120 ? 10 : n < 300 ? 30 : 100;
  return std::min(n / step * step, 2000);
}

GuaranteedJoint guaranteed_joint(
    int p, int n, double lambda, double run_length, double confidence) {
  require(p >= 1 && n > p + 2, "too few vectors for joint limits");
  require_in_range(lambda, 0.01, 1, "lambda");
  require_in_range(run_length, 2, 1e9, "run_length");
  require_probability(confidence, "guarantee");
  static std::mutex mutex;
  static std::map<std::tuple<int, int, double, double, double>, GuaranteedJoint>
      designs;
  const int size = std::max(guaranteed_ladder(n), p + 3);
  const auto key = std::make_tuple(p, size, lambda, run_length, confidence);
  const std::lock_guard<std::mutex> lock(mutex);
  const auto it = designs.find(key);
  if (it != designs.end()) return it->second;
  return designs.emplace(key, simulate(p, size, lambda, run_length, confidence))
      .first->second;
}

}  // namespace evenfeed
