// SPDX-License-Identifier: MIT
// How much do groups differ, beyond what their members scatter? The one-way
// random model
//   y_ij = mu + a_i + e_ij,  a_i ~ N(0, between), e_ij ~ N(0, within),
// by restricted maximum likelihood (Patterson and Thompson 1971, Biometrika
// 58:545). With theta = between / within and w_i = n_i / (1 + n_i theta) the
// criterion, -2 log restricted likelihood, is
//   (N - 1)(1 + log(2 pi within)) + sum log(1 + n_i theta) + log sum w_i,
//   within = (SSW + sum w_i (mean_i - mu)^2) / (N - 1),
// so one number, theta >= 0, is searched. Groups may differ in size; only
// their sizes, means and inner sums of squares count. For groups of one size
// the answer is that of the analysis of variance, cut off at 0.
//
// Beside it: the F test that the groups do not differ at all (exact for any
// sizes) and the intraclass correlation with its interval (exact for groups
// of one size, Shrout and Fleiss 1979; otherwise with the size n0 of Searle
// 1971).
#pragma once

#include <limits>
#include <span>
#include <string>
#include <vector>

namespace evenfeed {

/// What the model needs to know of a group.
struct GroupSummary {
  int n = 0;
  double mean = 0;
  double squares = 0;  ///< sum of (y - mean)^2
};
/// n = 0 for an empty group, which counts as none.
[[nodiscard]] GroupSummary summarise_group(std::span<const double> values);

struct VarianceComponents {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  bool ok = false;  ///< false: `message` says why
  std::string message;
  int groups = 0;
  int values = 0;
  double between_variance = kUnknown;
  double within_variance = kUnknown;
  double mean = kUnknown;       ///< mu, by generalised least squares
  double mean_se = kUnknown;    ///< of mu, the components taken as known
  double criterion = kUnknown;  ///< -2 log restricted likelihood
  double f = kUnknown;          ///< between mean square / within mean square
  double f_probability = kUnknown;  ///< of a larger f if all groups are alike
  double icc = kUnknown;            ///< of one value, from the mean squares
  double icc_low = kUnknown;
  double icc_high = kUnknown;
};

/// Fails (ok = false) below two groups, without a group of two, for values
/// that are not finite, and when nothing scatters within the groups.
[[nodiscard]] VarianceComponents variance_components(
    std::span<const GroupSummary> groups, double confidence = 0.95);
[[nodiscard]] VarianceComponents variance_components(
    std::span<const std::vector<double>> groups, double confidence = 0.95);

}  // namespace evenfeed
