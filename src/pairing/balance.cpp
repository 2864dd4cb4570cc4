// SPDX-License-Identifier: MIT
#include "pairing/balance.h"

#include "base/nan.h"

#include <cmath>

namespace evenfeed {
namespace {

struct Moments {
  double mean = kNaN;
  double variance = kNaN;
};

// Divisor n - 1, or its like for weights that sum to n.
Moments moments(const Eigen::VectorXd& x, const Eigen::VectorXd& weight) {
  Moments result;
  const double n = weight.sum();
  if (n <= 0) return result;
  result.mean = x.dot(weight) / n;
  if (n <= 1) return result;
  const double square =
      ((x.array() - result.mean).square() * weight.array()).sum();
  result.variance = square / (n - 1);
  return result;
}

// 1 / k for a member of a set with k of its sample: each set counts once.
Eigen::VectorXd weights_after(const Sample& sample,
                              const Matching& matching,
                              int s) {
  Eigen::VectorXd weight = Eigen::VectorXd::Zero(sample.size());
  for (const MatchedSet& set : matching.sets) {
    const auto& members = set.members[static_cast<std::size_t>(s)];
    for (const int i : members) {
      weight(i) = 1.0 / static_cast<double>(members.size());
    }
  }
  return weight;
}

double outside(const Eigen::VectorXd& x, const Eigen::VectorXd& other) {
  const double low = other.minCoeff();
  const double high = other.maxCoeff();
  return ((x.array() < low) || (x.array() > high)).cast<double>().mean();
}

double ratio_of(double variance_a, double variance_b) {
  return variance_b > 0 ? std::sqrt(variance_a / variance_b) : kNaN;
}

}  // namespace

std::vector<BalanceRow> balance(const std::vector<Sample>& samples,
                                const Matching& matching,
                                int a,
                                int b) {
  const Sample& of_a = samples[static_cast<std::size_t>(a)];
  const Sample& of_b = samples[static_cast<std::size_t>(b)];
  const Eigen::VectorXd after_a = weights_after(of_a, matching, a);
  const Eigen::VectorXd after_b = weights_after(of_b, matching, b);
  std::vector<BalanceRow> rows;
  for (std::size_t k = 0; k < of_a.characteristics.size(); ++k) {
    const auto column = static_cast<Eigen::Index>(k);
    const Eigen::VectorXd x_a = of_a.values.col(column);
    const Eigen::VectorXd x_b = of_b.values.col(column);
    const Moments before_a = moments(x_a, Eigen::VectorXd::Ones(of_a.size()));
    const Moments before_b = moments(x_b, Eigen::VectorXd::Ones(of_b.size()));
    const Moments matched_a = moments(x_a, after_a);
    const Moments matched_b = moments(x_b, after_b);
    const double sd = std::sqrt((before_a.variance + before_b.variance) / 2);
    const auto standardised = [&](double difference) {
      return difference == 0 ? 0 : difference / sd;
    };
    rows.push_back({of_a.characteristics[k],
                    before_a.mean,
                    before_b.mean,
                    matched_a.mean,
                    matched_b.mean,
                    standardised(before_a.mean - before_b.mean),
                    standardised(matched_a.mean - matched_b.mean),
                    ratio_of(before_a.variance, before_b.variance),
                    ratio_of(matched_a.variance, matched_b.variance),
                    outside(x_a, x_b),
                    outside(x_b, x_a)});
  }
  return rows;
}

}  // namespace evenfeed
