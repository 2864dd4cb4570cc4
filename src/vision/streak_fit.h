// SPDX-License-Identifier: MIT
// Centre, streak and size of a blurred ball to a fraction of a pixel.
//
// Model of a pixel x, with the ball a disc of radius R that moves evenly
// through c + t h, t in [-1, 1], while the shutter is open:
//
//   I(x) = B(x) + mean over t of  k(e) (S(e) - B(x)),  e = (x - c - t h) / R
//   S(e) = s + g . e + q f(|e|^2),  f falls to the rim as on a matt sphere
//
// B is the known background, so that a ball over a white line or the net is
// weighed by the contrast it has at each pixel. k falls from 1 to 0 over the
// soft edge (a cubic step, `edge_px` to either side). S lets one side of the
// ball be brighter than the other and its rim darker than its middle: the edge,
// not the shading, decides where the centre is. Solved by Levenberg-Marquardt
// with Huber weights; the covariance is (J^T W J)^-1 at the noise or the
// residuals, whichever is larger.
#pragma once

#include <string_view>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// The pixels a fit works on.
struct StreakPatch {
  cv::Mat seen;      ///< CV_32FC1, grey levels
  cv::Mat expected;  ///< CV_32FC1, the background there
  cv::Point origin;  ///< picture position of the patch's first pixel
  double noise = 1;  ///< standard deviation of a background pixel, levels
};

struct StreakFitOptions {
  double edge_spread_px = 0.4;  ///< prior sd of the edge around its start
  double gradient_part = 0.25;  ///< prior sd of g and q, parts of s - B
  double model_part = 0.02;     ///< pixel noise added by the model, of s - B
  double radius_spread = 0.25;  ///< prior sd of ln R around its start
  int max_iterations = 15;
  void check() const;
};

struct Streak {
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d half_px = Eigen::Vector2d::Zero();  ///< h; sign not known
  double radius_px = 0;
  double brightness = 0;                               ///< s, grey levels
  Eigen::Vector2d gradient = Eigen::Vector2d::Zero();  ///< g, grey levels
  double rim = 0;                                      ///< q, grey levels
  double edge_px = 1.2;  ///< half width of the soft edge
};

struct StreakFit {
  bool converged = false;
  std::string_view message = "not run";
  Streak streak;
  Eigen::Matrix2d covariance_px2 = Eigen::Matrix2d::Zero();  ///< of the centre
  double contrast = 0;  ///< s less the background under the disc, levels
  double rms = 0;       ///< residual, grey levels
  /// Part of the disc that looks like the background instead of the ball.
  double hidden_part = 0;
  int pixels = 0;
  int iterations = 0;
};

/// Fits from `start`; its radius is also the centre of the radius prior. Fails
/// (converged = false) when the patch is too small for the disc or the normal
/// equations are singular.
StreakFit fit_streak(const StreakPatch& patch,
                     const Streak& start,
                     const StreakFitOptions& options = {});

}  // namespace evenfeed
