// SPDX-License-Identifier: MIT
// Centre, streak and size of a blurred ball to a fraction of a pixel.
//
// Model of a pixel x, with the ball a disc of radius R that moves evenly
// through c + t h, t in [-1, 1], while the shutter is open:
//
//   I(x) = B(x) + mean over t of  k(e) (S(e) - B(x)),  e = M (x - c - t h) / R
//   S(e) = a + l . n(e),  n(e) = (e, sqrt(1 - |e|^2))
//
// M is `outline`. B is the known background, so that a ball over a white line
// or the net is weighed by the contrast it has at each pixel. k falls from 1 to
// 0 over the soft edge (a cubic step, `edge_px` to either side). S is a matt
// sphere under one lamp l and light from everywhere, a (Lambert's law): the
// outline, not the brighter side, decides where the centre is. Solved by
// Levenberg-Marquardt with Huber weights; the covariance is (J^T W J)^-1 at the
// noise or the residuals, whichever is larger.
#pragma once

#include "detection/shade_memory.h"

#include <optional>
#include <string_view>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// The pixels a fit works on.
struct StreakPatch {
  cv::Mat seen;      ///< CV_32FC1, light (see tone_curve.h) or grey levels
  cv::Mat expected;  ///< CV_32FC1, the background there
  cv::Mat sigma;     ///< CV_32FC1, standard deviation of `seen`
  cv::Point origin;  ///< picture position of the patch's first pixel
};

struct StreakFitOptions {
  double model_part = 0.02;     ///< pixel noise of the model, of the contrast
  double radius_spread = 0.03;  ///< prior sd of ln R around its start
  int max_iterations = 20;
  /// A streak that is still longer after a few rounds is no ball's, but a
  /// person's edge: the search ends there, as if it had converged.
  double longest_px = 1e9;
  void check() const;
};

struct Streak {
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  Eigen::Vector2d half_px = Eigen::Vector2d::Zero();  ///< h; sign not known
  double radius_px = 0;
  double ambient = 0;  ///< a, in the patch's unit
  /// l, in the patch's unit: right, down, towards the camera.
  Eigen::Vector3d lamp = Eigen::Vector3d::Zero();
  /// The outline is |outline (x - c)| = R: the identity for a disc. Symmetric;
  /// a sphere off the lens axis is drawn out away from it. Not fitted.
  Eigen::Matrix2d outline = Eigen::Matrix2d::Identity();
  double edge_px = 1.5;  ///< half width of the soft edge
};

struct StreakFit {
  bool converged = false;
  std::string_view message = "not run";
  Streak streak;
  Eigen::Matrix2d covariance_px2 = Eigen::Matrix2d::Zero();  ///< of the centre
  double brightness = 0;  ///< mean over the disc
  double contrast = 0;    ///< mean step against the background
  double rms = 0;         ///< residual
  double cost = 0;        ///< chi-square with Huber weights and priors
  /// Part of the disc that looks like the background instead of the ball.
  double hidden_part = 0;
  int pixels = 0;
  int iterations = 0;
};

/// Fits from the place and shape of `start`, with `brightness` a first guess of
/// the ball's. The start's radius is also the centre of the radius prior. Fails
/// (converged = false) when the patch is too small for the disc or the normal
/// equations are singular. A like patch's fit, `from`, saves half of the
/// rounds: the search begins there, with the same priors.
StreakFit fit_streak(const StreakPatch& patch,
                     const Streak& start,
                     double brightness,
                     const ShadePrior& shade,
                     const StreakFitOptions& options = {},
                     const std::optional<Streak>& from = std::nullopt);

}  // namespace evenfeed
