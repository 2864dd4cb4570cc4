// SPDX-License-Identifier: MIT
// How far apart two feeds are, and which are near enough to be compared.
//
//   d^2 = (a - b)' (L + M_a + M_b)^-1 (a - b)
//
// L is the covariance of the launcher itself: the pooled covariance within
// the samples (divisor: feeds - samples) less the mean measurement covariance
// (as far as that leaves it positive), M_a and M_b the measurement covariances
// of the two feeds: their standard uncertainties, and the correlation of the
// landing point. Without uncertainties it is the Mahalanobis distance with the
// pooled covariance (Rubin 1980, Biometrics 36:293). Characteristics that the
// others determine are left out of it; calipers hold for all. Those that feeds
// are not matched on (Sample::not_matched) have neither.
#pragma once

#include "pairing/assignment.h"
#include "pairing/sample.h"

#include <array>
#include <map>
#include <string>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {

struct CaliperOptions {
  bool use = true;
  /// In the unit of the column.
  std::map<std::string, double> width;
  /// Of a characteristic without a width of its own, in pooled sd.
  double default_sd = 1.0;
  /// When above 0: of every characteristic, in pooled sd.
  double all_sd = 0;
  void check() const;
};

class FeedDistance {
 public:
  /// Throws std::logic_error below two feeds in all or for samples whose
  /// characteristics differ.
  FeedDistance(const std::vector<Sample>& samples,
               const CaliperOptions& options);

  /// Infinite when no characteristic varies.
  double between(const Sample& a, int i, const Sample& b, int j) const;
  /// The same with a mean measurement covariance: fast, for looking around.
  Eigen::MatrixXd whitened(const Sample& sample) const;

  /// Within every caliper.
  bool near(const Sample& a, int i, const Sample& b, int j) const;
  /// Index of each characteristic whose caliper the two feeds break.
  std::vector<int> broken(const Sample& a, int i, const Sample& b, int j) const;

  /// Rows: feeds of `a`; columns: feeds of `b`; only near ones.
  Candidates candidates(const Sample& a, const Sample& b) const;

  const Eigen::VectorXd& pooled_sd() const { return pooled_sd_; }
  /// Infinite without calipers.
  const Eigen::VectorXd& calipers() const { return calipers_; }
  /// Variance of measurement / observed variance, per characteristic.
  const Eigen::VectorXd& noise_share() const { return noise_share_; }
  /// Which characteristics the distance is made of.
  const std::vector<int>& used() const { return used_; }
  /// Which characteristics the outcome is corrected for: matched on or not, but
  /// neither those that others determine nor those whose own part, what the
  /// others do not tell of them, is measurement and little else.
  const std::vector<int>& covariates() const { return covariates_; }

 private:
  static constexpr std::size_t kMostUsed = 24;
  // What the distance needs to know of a feed, of the used characteristics.
  // Without uncertainties the values are whitened.
  struct Numbers {
    std::array<double, kMostUsed> value{};
    std::array<double, kMostUsed> variance{};  // of the measurement
    double shared = 0;  // measurement covariance of x_mm and y_mm
  };
  Numbers numbers_of(const Sample& sample, int feed) const;
  double distance(const Numbers& a, const Numbers& b) const;

  Eigen::VectorXd pooled_sd_;
  Eigen::VectorXd calipers_;
  Eigen::VectorXd noise_share_;
  std::vector<int> used_;
  std::vector<int> covariates_;
  Eigen::MatrixXd launcher_;          // of the used characteristics
  Eigen::LLT<Eigen::MatrixXd> mean_;  // launcher and mean measurement
  bool measured_ = false;             // some feed has an uncertainty
  int x_ = -1;                        // place of x_mm, y_mm among the used
  int y_ = -1;
};

}  // namespace evenfeed
