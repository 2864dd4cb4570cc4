// SPDX-License-Identifier: MIT
// Closed forms that start a calibration: a camera from four points of a plane,
// or from one end of a rectangle and its two sides. Distortion is left at
// zero; the solver refines everything.
//
// Homography: direct linear transform on normalised points (Hartley 1997,
// "In defense of the eight-point algorithm"). Pose from it: with K known,
// l = 2/(|K^-1 h1| + |K^-1 h2|), r1 = l K^-1 h1, r2 = l K^-1 h2, t = l K^-1 h3,
// nearest rotation by SVD (Zhang 2000, "A flexible new technique for camera
// calibration").
#pragma once

#include "geometry/camera_model.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A point of the plane z = 0 and where the picture shows it.
struct PlanePoint {
  Eigen::Vector2d x_in_table_m;
  Eigen::Vector2d picture_px;
};

/// picture ~ H (x, y, 1). Needs 4 points, no three on one line; nullopt when
/// they do not determine it.
std::optional<Eigen::Matrix3d> homography_from_points(
    const std::vector<PlanePoint>& points);

/// The pose behind a homography for a lens without distortion, with the
/// camera above the plane (z > 0) looking at its points; nullopt when the
/// homography is mirrored (the plane seen from below) or not finite.
std::optional<Pose> pose_from_homography(const Eigen::Matrix3d& homography,
                                         const LensModel<double>& lens);

/// A camera of the given picture size, centred, without distortion.
CameraModel plain_camera(int width_px, int height_px, double focal_px);

struct PlaneCamera {
  CameraModel camera;
  double rms_px = 0;  ///< per point
};

/// The best of a ladder of focal lengths from half to three picture widths;
/// a lens in `known` is used instead when given. nullopt when the points do not
/// determine a camera: too few, or all but one within 10 mm of a line.
std::optional<PlaneCamera> camera_from_plane(
    const std::vector<PlanePoint>& points,
    int width_px,
    int height_px,
    const std::optional<LensModel<double>>& known = std::nullopt);

/// One end of a rectangle and the two sides that leave it.
struct EndAndSides {
  PlanePoint first, second;                       ///< the end's corners
  Eigen::Vector2d first_side_px, second_side_px;  ///< a point far along each
};

/// The camera for one focal length that shows the end at its true length and
/// the sides parallel to each other and square to the end; the sides run in
/// direction `sides_x` (+1 or -1) along x. nullopt when no such camera looks
/// from above, or when a corner's line of sight is square to the sides.
std::optional<CameraModel> camera_from_end_and_sides(const EndAndSides& seen,
                                                     double sides_x,
                                                     const CameraModel& plain);

}  // namespace evenfeed
