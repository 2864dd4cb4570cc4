// SPDX-License-Identifier: MIT
// How an outcome follows the feed, within two samples alike.
//
// Feeds and outcomes are taken about the means of their own sample, so that
// what the samples differ by is not in the slopes. With S the covariance of the
// feeds as measured, N the mean covariance of the measurement and c their
// covariance with the outcome,
//
//   plain    = S^-1 c        what one step of the measured feed tells
//   launcher = (S - N)^-1 c  what one step of the true feed makes
//                            (Fuller 1987, Measurement Error Models, 2.2)
//
// The best guess of a true feed lies at mean + (S - N) S^-1 (measured - mean)
// (regression calibration: Carroll, Ruppert, Stefanski and Crainiceanu 2006,
// Measurement Error in Nonlinear Models, chapter 4), so that between samples
// whose means lie `shift` apart two feeds that were measured `d` apart make the
// outcome differ by plain' d + (launcher - plain)' shift.
//
// Guard: in a direction in which measurement makes nearly all of the spread,
// S - N is known to no better than the sampling of S, and its inverse is
// anything. At least `least_launcher_share` of the spread of every direction
// counts as the launcher's.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

/// Feeds of two samples (+1 and -1 in `side`) with their outcomes.
struct FeedsAndOutcomes {
  Eigen::MatrixXd feeds;
  Eigen::MatrixXd noise;  ///< mean covariance of their measurement
  Eigen::VectorXd outcome;
  Eigen::VectorXd side;
};

struct FeedSlopes {
  bool ok = false;  ///< false: too few feeds, or a feed that does not vary
  Eigen::VectorXd plain;
  Eigen::VectorXd launcher;
  Eigen::MatrixXd launcher_spread;  ///< S - N, guarded
  /// How feed i moves the slopes, in row i, and what the slopes leave of its
  /// outcome; both as if it had not been among those the slopes are from (HC3:
  /// MacKinnon and White 1985, J Econometrics 29:305).
  Eigen::MatrixXd plain_influence;
  Eigen::MatrixXd launcher_influence;
  Eigen::VectorXd plain_residual;
  Eigen::VectorXd launcher_residual;
  Eigen::MatrixXd centred;  ///< feeds about the means of their samples
  Eigen::VectorXd shift;    ///< mean feed of the first sample less the second
  double degrees = 0;       ///< feeds - samples - slopes
};

/// 2 sampling sd of a variance from so many feeds, at most one half.
[[nodiscard]] double least_launcher_share(double feeds);

/// Needs `spare` feeds more than unknowns.
[[nodiscard]] FeedSlopes fit_feed_slopes(const FeedsAndOutcomes& data,
                                         int spare);

}  // namespace evenfeed
