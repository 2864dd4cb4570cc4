// SPDX-License-Identifier: MIT
#include "charts/guaranteed_joint.h"

#include "base/check.h"
#include "base/random.h"
#include "charts/design_search.h"
#include "charts/ewma_run_length.h"
#include "charts/mewma_run_length.h"
#include "charts/t2.h"
#include "stats/distributions.h"
#include "stats/symmetric_eigen.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {
namespace {

constexpr int kBaselines = 4000;

// The squared distance from a baseline, under the true process.
struct DistanceLaw {
  double mean = 0;
  double sd = 0;
  double degrees = 1;  // of the chi-squared it is likened to

  double at(double chi_squared) const {
    return mean + (chi_squared - degrees) / std::sqrt(2 * degrees) * sd;
  }
  double upper(double tail) const {
    return at(chi_squared_upper(tail, degrees));
  }
};

// What n vectors would have said about a standard normal process, seen from
// the axes of its covariance.
struct DrawnBaseline {
  Eigen::ArrayXd weight;  // 1 / eigenvalue
  Eigen::ArrayXd off;     // squared error of the centre

  // With the error of the centre `times` as large, in terms of variance.
  DistanceLaw law(double times) const {
    const auto moment = [&](int k) {
      return (weight.pow(k) * (1 + k * times * off)).sum();
    };
    const double c2 = moment(2);
    const double c3 = moment(3);
    return {moment(1), std::sqrt(2 * c2), c2 * c2 * c2 / (c3 * c3)};
  }
};

// Mean, and the covariance by Bartlett's decomposition. Every size of baseline
// takes the same draws, so that limits fall smoothly with it.
DrawnBaseline draw_baseline(int p, int n, RandomEngine& engine) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform(1e-9, 1);
  Eigen::VectorXd mean(p);
  Eigen::MatrixXd root = Eigen::MatrixXd::Zero(p, p);
  for (int i = 0; i < p; ++i) {
    normal.reset();
    mean(i) = normal(engine) / std::sqrt(n);
    for (int j = 0; j < i; ++j) root(i, j) = normal(engine);
    root(i, i) = std::sqrt(chi_squared_quantile(uniform(engine), n - 1.0 - i));
  }
  root /= std::sqrt(n - 1.0);
  const SymmetricEigen eigen = symmetric_eigen(root * root.transpose());
  return {eigen.values.array().inverse(),
          (eigen.vectors.transpose() * mean).array().square()};
}

// t2_score() as a table over the logarithm of T2.
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
  static constexpr std::size_t kSize = 260;
  static constexpr double kLow = -16;
  static constexpr double kStep = 0.1;
  std::vector<double> scores_;
};

// The width at which the EWMA of scores with this baseline's mean and sd
// behaves as one with `width` does for standard normal scores.
double spread_width(const DistanceLaw& law,
                    const ScoreTable& score,
                    double lambda,
                    double width) {
  constexpr int kNodes = 48;
  double sum = 0;
  double squares = 0;
  double weights = 0;
  for (int i = 0; i < kNodes; ++i) {
    const double z = -4 + 8.0 * (i + 0.5) / kNodes;
    const double weight = normal_density(z);
    // Chi-squared by the cube of a normal (Wilson and Hilferty 1931).
    const double part = 2 / (9 * law.degrees);
    const double root = std::max(0.0, 1 - part + z * std::sqrt(part));
    const double s = score(law.at(law.degrees * root * root * root));
    weights += weight;
    sum += weight * s;
    squares += weight * s * s;
  }
  const double mean = sum / weights;
  const double sd = std::sqrt(std::max(0.0, squares / weights - mean * mean));
  return mean / std::sqrt(lambda / (2 - lambda)) + sd * width;
}

// The value that the share `confidence` does not exceed.
double upper_share(std::vector<double> values, double confidence) {
  std::sort(values.begin(), values.end());
  const double at =
      std::max(0.0, confidence * static_cast<double>(values.size()) - 0.5);
  const auto k = static_cast<std::size_t>(at);
  const std::size_t next = std::min(k + 1, values.size() - 1);
  return values[k] + (at - static_cast<double>(k)) * (values[next] - values[k]);
}

GuaranteedJoint design(
    int p, int n, double lambda, double run_length, double confidence) {
  RandomEngine engine = derived_engine(
      1, "guaranteed joint limits", static_cast<std::uint64_t>(p));
  const ScoreTable score(p, n);
  const double mewma_tail =
      chi_squared_tail(mewma_limit(p, lambda, run_length), p);
  // Half of the alarms of the two-sided chart fall on the side that is used.
  const double width = ewma_width(lambda, run_length / 2, EwmaLimits::kGrowing);
  std::vector<double> t2;
  std::vector<double> mewma;
  std::vector<double> spread;
  for (int b = 0; b < kBaselines; ++b) {
    const DrawnBaseline baseline = draw_baseline(p, n, engine);
    const DistanceLaw single = baseline.law(1);
    t2.push_back(single.upper(1 / run_length));
    mewma.push_back(baseline.law((2 - lambda) / lambda).upper(mewma_tail));
    spread.push_back(spread_width(single, score, lambda, width));
  }
  return {upper_share(std::move(t2), confidence),
          upper_share(std::move(mewma), confidence),
          upper_share(std::move(spread), confidence)};
}

}  // namespace

GuaranteedJoint guaranteed_joint(
    int p, int n, double lambda, double run_length, double confidence) {
  require(p >= 1 && n > p + 2, "too few vectors for joint limits");
  require_in_range(lambda, 0.01, 1, "lambda");
  require_in_range(run_length, 2, 1e9, "run_length");
  require_probability(confidence, "guarantee");
  static DesignCache<GuaranteedJoint> cache;
  return cache.find(
      {static_cast<double>(p),
       static_cast<double>(n),
       lambda,
       run_length,
       confidence},
      [&] { return design(p, n, lambda, run_length, confidence); });
}

}  // namespace evenfeed
