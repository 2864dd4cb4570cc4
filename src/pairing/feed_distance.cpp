// SPDX-License-Identifier: MIT
#include "pairing/feed_distance.h"

#include "base/check.h"
#include "pairing/quadratic_form.h"
#include "stats/covariance.h"
#include "stats/symmetric_eigen.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
// A row per feed, one after the other, as the loop over pairs wants them.
using RowMajor =
    Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

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
  const Eigen::LLT<Eigen::MatrixXd> factor(total);
  Eigen::MatrixXd share = noise.selfadjointView<Eigen::Lower>();
  factor.matrixL().solveInPlace<Eigen::OnTheLeft>(share);
  factor.matrixU().solveInPlace<Eigen::OnTheRight>(share);
  const double most = symmetric_eigen(share).values.maxCoeff();
  return most > 0.9 ? 0.9 / most : 1;
}

std::vector<int> among(const std::vector<int>& list,
                       const std::vector<int>& places) {
  std::vector<int> result;
  for (const int place : places) {
    result.push_back(list[static_cast<std::size_t>(place)]);
  }
  return result;
}

// See FeedDistance::covariates().
std::vector<int> worth_correcting_for(std::vector<int> columns,
                                      const Eigen::MatrixXd& pooled,
                                      const Eigen::VectorXd& noise) {
  constexpr double kMostMeasurement = 0.9;
  while (!columns.empty()) {
    const Eigen::MatrixXd inverse = submatrix(pooled, columns).inverse();
    const Eigen::ArrayXd share =
        subvector(noise, columns).array() * inverse.diagonal().array();
    Eigen::Index worst = 0;
    if (share.maxCoeff(&worst) <= kMostMeasurement) break;
    columns.erase(columns.begin() + worst);
  }
  return columns;
}

// What rounding may do to a difference of two values.
double slack(double a, double b, double limit) {
  constexpr double kRounding = 1e-9;
  return kRounding * std::max({std::abs(a), std::abs(b), std::abs(limit)});
}

// The caliper's rule. Values of few decimals often differ by exactly the
// caliper: that is within, whatever their binary forms say.
bool within(double a, double b, double limit) {
  return std::isinf(limit) || std::abs(a - b) <= limit + slack(a, b, limit);
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
    if (!samples[0].matched_on(static_cast<std::size_t>(k))) continue;
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

  std::vector<int> matched;
  std::vector<int> others;
  for (int k = 0; k < static_cast<int>(p); ++k) {
    (samples[0].matched_on(static_cast<std::size_t>(k)) ? matched : others)
        .push_back(k);
  }
  used_ = among(matched, regular_columns(submatrix(pooled, matched)));
  std::vector<int> all = used_;
  all.insert(all.end(), others.begin(), others.end());
  covariates_ = worth_correcting_for(
      among(all, regular_columns(submatrix(pooled, all))), pooled, noise);
  require(used_.size() <= static_cast<std::size_t>(kMostUsed),
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

FeedDistance::Numbers FeedDistance::numbers_of(const Sample& sample,
                                               int feed) const {
  Numbers out;
  const auto p = static_cast<Eigen::Index>(used_.size());
  for (std::size_t k = 0; k < used_.size(); ++k) {
    const double sigma = sample.sigmas(feed, used_[k]);
    out.value[k] = sample.values(feed, used_[k]);
    out.variance[k] = sigma * sigma;
  }
  if (!measured_) {
    Eigen::Map<Eigen::VectorXd> values(out.value.data(), p);
    mean_.matrixL().solveInPlace(values);
  } else if (x_ >= 0 && y_ >= 0) {
    out.shared = sample.rho_xy[static_cast<std::size_t>(feed)] *
                 std::sqrt(out.variance[static_cast<std::size_t>(x_)] *
                           out.variance[static_cast<std::size_t>(y_)]);
  }
  return out;
}

double FeedDistance::distance(const Numbers& a, const Numbers& b) const {
  const std::size_t p = used_.size();
  std::array<double, kMostUsed> difference;
  for (std::size_t k = 0; k < p; ++k) difference[k] = a.value[k] - b.value[k];
  if (!measured_) {
    double sum = 0;
    for (std::size_t k = 0; k < p; ++k) sum += difference[k] * difference[k];
    return std::sqrt(sum);
  }
  std::array<double, kMostUsed * kMostUsed> covariance;
  std::copy_n(launcher_.data(), p * p, covariance.begin());  // symmetric
  for (std::size_t k = 0; k < p; ++k) {
    covariance[k * p + k] += a.variance[k] + b.variance[k];
  }
  if (x_ >= 0 && y_ >= 0) {
    const auto [first, second] = std::minmax(x_, y_);
    covariance[static_cast<std::size_t>(second) * p +
               static_cast<std::size_t>(first)] += a.shared + b.shared;
  }
  return std::sqrt(inverse_quadratic_form(
      covariance.data(), difference.data(), static_cast<int>(p)));
}

double FeedDistance::between(const Sample& a,
                             int i,
                             const Sample& b,
                             int j) const {
  if (used_.empty()) return kInfinite;
  return distance(numbers_of(a, i), numbers_of(b, j));
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
  return broken(a, i, b, j).empty();
}

std::vector<int> FeedDistance::broken(const Sample& a,
                                      int i,
                                      const Sample& b,
                                      int j) const {
  std::vector<int> failed;
  for (int k = 0; k < static_cast<int>(calipers_.size()); ++k) {
    if (!within(a.values(i, k), b.values(j, k), calipers_(k))) {
      failed.push_back(k);
    }
  }
  return failed;
}

Candidates FeedDistance::candidates(const Sample& a, const Sample& b) const {
  Candidates candidates;
  candidates.columns = b.size();
  // Sorted by the characteristic with the tightest caliper, so that only a
  // window of b has to be looked at.
  Eigen::Index tightest = 0;
  (calipers_.array() / pooled_sd_.array().max(1e-300)).minCoeff(&tightest);
  std::vector<int> order(static_cast<std::size_t>(b.size()));
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](int i, int j) {
    return b.values(i, tightest) < b.values(j, tightest);
  });
  RowMajor values(b.size(), b.values.cols());
  std::vector<Numbers> numbers;
  for (std::size_t k = 0; k < order.size(); ++k) {
    values.row(static_cast<Eigen::Index>(k)) = b.values.row(order[k]);
    numbers.push_back(numbers_of(b, order[k]));
  }
  const Eigen::VectorXd sorted = values.col(tightest);
  for (int i = 0; i < a.size(); ++i) {
    const Eigen::VectorXd own = a.values.row(i);
    const Numbers own_numbers = numbers_of(a, i);
    const double limit = calipers_(tightest);
    const double least = own(tightest) - limit;
    const auto start =
        std::lower_bound(sorted.begin(),
                         sorted.end(),
                         least - slack(own(tightest), least, limit)) -
        sorted.begin();
    for (Eigen::Index k = start; k < sorted.size(); ++k) {
      if (sorted(k) > own(tightest) &&
          !within(own(tightest), sorted(k), limit)) {
        break;
      }
      const double* other = values.data() + k * values.cols();
      bool near = true;
      for (Eigen::Index c = 0; near && c < own.size(); ++c) {
        near = within(own(c), other[c], calipers_(c));
      }
      if (!near || used_.empty()) continue;
      const auto at = static_cast<std::size_t>(k);
      const double apart = distance(own_numbers, numbers[at]);
      if (std::isfinite(apart)) candidates.add(order[at], apart);
    }
    candidates.end_row();
  }
  return candidates;
}

}  // namespace evenfeed
