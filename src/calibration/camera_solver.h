// SPDX-License-Identifier: MIT
// The whole camera from line cuts and marked points: focal length, radial
// distortion, principal point and pose, by least squares on pixel residuals.
// Over one plane the principal point can hardly be told from a turn of the
// camera; a prior holds it near the picture's centre, where lenses are mounted
// to within half a per cent of the width.
//
// A cut's residual is its distance, along the cut, from the middle of the
// projected line, so no corner has to be seen. All cuts of one line share an
// unknown offset (paint, blur, glare) with a small prior; it keeps hundreds of
// cuts of one line from claiming a precision that no painted line has.
//
// Straight above a table, focal length and height change the picture alike
// (only the net, the tilt and the hints below tell them apart); the priors
// keep the fit solvable and what stays open is in the covariance.
#pragma once

#include "calibration/line_edges.h"
#include "calibration/surface_lines.h"
#include "geometry/bench.h"
#include "geometry/camera_model.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// A table point seen at a picture point.
struct MarkedPoint {
  std::string name;
  Eigen::Vector3d x_in_table_m = Eigen::Vector3d::Zero();
  Eigen::Vector2d picture_px = Eigen::Vector2d::Zero();
  double sigma_px = 1;
};

/// What is known of a parameter beforehand.
struct Expected {
  double value = 0;
  double sd = 0;
};

struct CameraSolverOptions {
  double cut_sigma_px = 0.1;    ///< of one cut, on its own
  double line_sigma_px = 0.05;  ///< common to the cuts of one line
  double robust_px = 0.3;       ///< where residuals begin to lose weight
  Expected k1{-0.05, 0.1};
  Expected k2{0, 0.05};
  /// Of the natural logarithm of focal_px / picture width; an ordinary camera
  /// is within a factor of two of 0.9.
  Expected log_focal{-0.105, 0.7};
  std::optional<Expected> focal_px;  ///< from a lens file
  /// Principal point; the picture's centre when not given.
  std::optional<Eigen::Vector2d> centre_px;
  double centre_sd = 0.005;          ///< of each coordinate, part of the width
  std::optional<Expected> height_m;  ///< of the eye above the surface
  int max_iterations = 60;
  void check() const;
};

/// The lens as measured elsewhere.
struct KnownLens {
  int width_px = 0, height_px = 0;  ///< of the pictures it was measured on
  LensModel<double> lens;
  double focal_sd = 0.002;   ///< relative
  double centre_sd = 0.001;  ///< of the picture's width
  double k1_sd = 0.005;
  double k2_sd = 0.005;
};

/// The usual options, with the lens expected as it is known.
CameraSolverOptions with_lens(const KnownLens& known);

struct CameraSolution {
  bool solved = false;
  std::string message;
  CameraModel camera;
  /// For what is measured with the camera: of moved_camera()'s nine
  /// parameters, with the principal point's share carried by the change of the
  /// nine that moves the picture of the space above the table most nearly as
  /// it does. Both are scaled by max(1, chi2 / freedom).
  CameraCovariance covariance = CameraCovariance::Zero();
  /// For the parameters themselves: the nine as solved beside an open
  /// principal point, whose shifts they partly make good.
  CameraCovariance marginal = CameraCovariance::Zero();
  double cut_rms_px = 0;    ///< over paint cuts within 5 robust sd
  double point_rms_px = 0;  ///< per coordinate, over the points
  double inliers = 0;       ///< share of the cuts within 5 robust sd
  double chi2_per_freedom = 0;
  std::vector<double> cut_residual_px;  ///< one per cut, along its normal
  std::vector<bool> cut_agrees;         ///< within 5 robust sd
};

/// Starts at `start`; needs at least 7 cuts and point coordinates together,
/// spread over more than one line.
CameraSolution solve_camera(const CameraModel& start,
                            const std::vector<SurfaceLine>& lines,
                            const std::vector<LineCut>& cuts,
                            const std::vector<MarkedPoint>& points,
                            const CameraSolverOptions& options);

/// Picture shift along the cut's normal per metre the line moves sideways on
/// the table: turns a cut's residual from pixels to table units.
double px_per_m_at(const CameraModel& camera,
                   const SurfaceLine& line,
                   const LineCut& cut);

}  // namespace evenfeed
