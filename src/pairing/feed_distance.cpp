// SPDX-License-Identifier: MIT
#include "pairing/feed_distance.h"

#include "base/check.h"
#include "stats/covariance.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include <Eigen/Eigenvalues>

namespace evenfeed {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
// So many used characteristics fit without allocating.
constexpr int kMost = 24;
using SmallMatrix =
    Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, kMost, kMost>;
using SmallVector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, kMost, 1>;

Eigen::MatrixXd pooled_covariance(const std::vector<Sample>& samples) {
  const auto p = samples[0].values.cols();
  Eigen::MatrixXd scatter = Eigen::MatrixXd::Zero(p, p);
  int degrees = 0;
  for (const Sample& sample : samples) {
    const Eigen::RowVectorXd mean = sample.values.colwise().mean();
    const Eigen::MatrixXd centred = sample.values.rowwise() - mean;
    scatter += centred.transpose() * centred;
    degrees += sample.size() - 1;
  }
  require(degrees > 0, "more than one feed in a sample");
  return scatter / degrees;
}

// How much of `noise` may be taken off `total` so that nine tenths of every
// direction's variance at most goes.
double removable(const Eigen::MatrixXd& noise, const Eigen::MatrixXd& total) {
  const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> solver(
      noise, total, Eigen::EigenvaluesOnly);
  const double most = solver.eigenvalues().maxCoeff();
  return most > 0.9 ? 0.9 / most : 1;
}

}  // namespace

void CaliperOptions::check() const {
  require_positive(default_sd, "calipers.default_sd");
  require_not_negative(all_sd, "calipers.all_sd");
  for (const auto& [name, limit] : width) {
    require_positive(limit, "calipers." + name);
  }
}

FeedDistance::FeedDistance(const std::vector<Sample>& samples,
                           const CaliperOptions& options) {
  options.check();
  require(!samples.empty(), "FeedDistance: samples");
  const auto& names = samples[0].characteristics;
  for (const Sample& sample : samples) {
    require(sample.characteristics == names,
            "FeedDistance: the same characteristics in every sample");
  }
  const auto p = static_cast<Eigen::Index>(names.size());
  const Eigen::MatrixXd pooled = pooled_covariance(samples);
  pooled_sd_ = pooled.diagonal().cwiseSqrt();

  calipers_ = Eigen::VectorXd::Constant(p, kInfinite);
  for (Eigen::Index k = 0; options.use && k < p; ++k) {
    const auto own = options.width.find(names[static_cast<std::size_t>(k)]);
    if (options.all_sd > 0) {
      calipers_(k) = options.all_sd * pooled_sd_(k);
    } else if (own != options.width.end()) {
      calipers_(k) = own->second;
    } else {
      calipers_(k) = options.default_sd * pooled_sd_(k);
    }
  }

  Eigen::VectorXd noise = Eigen::VectorXd::Zero(p);
  int feeds = 0;
  for (const Sample& sample : samples) {
    noise += sample.sigmas.array().square().matrix().colwise().sum();
    feeds += sample.size();
  }
  noise /= feeds;
  noise_share_ =
      (noise.array() / pooled.diagonal().array().max(1e-300)).min(1.0).matrix();
  measured_ = noise.maxCoeff() > 0;

  used_ = regular_columns(pooled);
  require(used_.size() <= static_cast<std::size_t>(kMost),
          "FeedDistance: too many characteristics");
  if (used_.empty()) return;
  const auto place = [&](const char* name) {
    for (std::size_t k = 0; k < used_.size(); ++k) {
      if (names[static_cast<std::size_t>(used_[k])] == name) {
        return static_cast<int>(k);
      }
    }
    return -1;
  };
  x_ = place("x_mm");
  y_ = place("y_mm");
  const Eigen::MatrixXd total = submatrix(pooled, used_);
  const Eigen::MatrixXd mean_noise = subvector(noise, used_).asDiagonal();
  const double part = measured_ ? removable(mean_noise, total) : 0;
  launcher_ = total - part * mean_noise;
  mean_.compute(launcher_ + 2 * mean_noise);
}

double FeedDistance::between(const Sample& a,
                             int i,
                             const Sample& b,
                             int j) const {
  if (used_.empty()) return kInfinite;
  const auto p = static_cast<Eigen::Index>(used_.size());
  SmallVector difference(p);
  for (Eigen::Index k = 0; k < p; ++k) {
    const int column = used_[static_cast<std::size_t>(k)];
    difference(k) = a.values(i, column) - b.values(j, column);
  }
  if (!measured_) return mean_.matrixL().solve(difference).norm();
  SmallMatrix covariance = launcher_;
  const auto add = [&](const Sample& sample, int feed) {
    for (Eigen::Index k = 0; k < p; ++k) {
      const double s = sample.sigmas(feed, used_[static_cast<std::size_t>(k)]);
      covariance(k, k) += s * s;
    }
    if (x_ < 0 || y_ < 0) return;
    const double shared =
        sample.rho_xy[static_cast<std::size_t>(feed)] *
        sample.sigmas(feed, used_[static_cast<std::size_t>(x_)]) *
        sample.sigmas(feed, used_[static_cast<std::size_t>(y_)]);
    covariance(x_, y_) += shared;
    covariance(y_, x_) += shared;
  };
  add(a, i);
  add(b, j);
  const Eigen::LLT<SmallMatrix> factor(covariance);
  return factor.matrixL().solve(difference).norm();
}

Eigen::MatrixXd FeedDistance::whitened(const Sample& sample) const {
  Eigen::MatrixXd used(sample.size(), used_.size());
  for (std::size_t k = 0; k < used_.size(); ++k) {
    used.col(static_cast<Eigen::Index>(k)) = sample.values.col(used_[k]);
  }
  if (used_.empty()) return used;
  return mean_.matrixL().solve(used.transpose()).transpose();
}

bool FeedDistance::near(const Sample& a, int i, const Sample& b, int j) const {
  return ((a.values.row(i) - b.values.row(j)).transpose().array().abs() <=
          calipers_.array())
      .all();
}

std::vector<int> FeedDistance::broken(const Sample& a,
                                      int i,
                                      const Sample& b,
                                      int j) const {
  std::vector<int> failed;
  for (int k = 0; k < static_cast<int>(calipers_.size()); ++k) {
    if (std::abs(a.values(i, k) - b.values(j, k)) > calipers_(k)) {
      failed.push_back(k);
    }
  }
  return failed;
}

Candidates FeedDistance::candidates(const Sample& a, const Sample& b) const {
  // Sorted by the characteristic with the tightest caliper, so that only a
  // window of b has to be looked at.
  Eigen::Index tightest = 0;
  (calipers_.array() / pooled_sd_.array().max(1e-300)).minCoeff(&tightest);
  std::vector<int> order(static_cast<std::size_t>(b.size()));
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](int i, int j) {
    return b.values(i, tightest) < b.values(j, tightest);
  });
  Candidates candidates;
  candidates.columns = b.size();
  for (int i = 0; i < a.size(); ++i) {
    const double low = a.values(i, tightest) - calipers_(tightest);
    const auto start = std::lower_bound(
        order.begin(), order.end(), low, [&](int j, double limit) {
          return b.values(j, tightest) < limit;
        });
    for (auto it = start; it != order.end(); ++it) {
      if (b.values(*it, tightest) - a.values(i, tightest) >
          calipers_(tightest)) {
        break;
      }
      if (!near(a, i, b, *it)) continue;
      const double distance = between(a, i, b, *it);
      if (std::isfinite(distance)) candidates.add(*it, distance);
    }
    candidates.end_row();
  }
  return candidates;
}

}  // namespace evenfeed
