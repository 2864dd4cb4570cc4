// SPDX-License-Identifier: MIT
// What a camera can know of a feed at best: the Cramer-Rao bound of the bounce
// point, its time, and the speed, descent and kick, for one camera with a
// known pose and Gaussian noise of the sightings.
//
//   X(t) = (xb, yb, r) + v (t - tb) + 1/2 a (t - tb)^2,   v, a = those before
//   or after the bounce
//   F = sum_i J_i' J_i / s^2 + priors,   covariance >= F^-1
//
// J_i is the derivative of the picture point by xb, yb, tb, both velocities
// and a remaining acceleration of each arc (what drag and lift of the model
// leave unknown). Frames are counted that fall within the stretch of flight in
// view and inside the picture. The bound is the root mean square over the
// phase of the frames. A bounce that is heard adds 1 / s_t^2 to the information
// on tb.
#pragma once

#include "geometry/camera_model.h"

#include <Eigen/Core>

namespace evenfeed {

/// A feed as it bounces.
struct PlannedFeed {
  double speed_mps = 5;
  double descent_rad = 0.349065850398866;  ///< 20 degrees
  double heading_rad = 0;                  ///< from +x
  double topspin_radps = 0;
  double restitution = 0.9;
  double friction = 0.2;
  double ball_radius_m = 0.02015;

  void check() const;
  Eigen::Vector3d velocity_before_mps() const;
  /// By the rule of sliding and gripping of a hollow ball (Nakashima et al.
  /// 2010, American Control Conference).
  Eigen::Vector3d velocity_after_mps() const;
};

struct SightingPlan {
  double fps = 60;
  double noise_px = 0.3;  ///< sd of a sighting, per axis
  double before_m = 1;    ///< horizontal stretch of flight that is in view
  double after_m = 1;
  int phases = 20;  ///< of the frames against the bounce
  /// Standard deviation of restitution as known beforehand; 0: not known.
  double restitution_sd = 0;
  /// Standard deviation of the remaining acceleration along, across, up; 0:
  /// there is none.
  Eigen::Vector3d acceleration_sd_mps2 = Eigen::Vector3d::Zero();
  /// Standard deviation of the time of the bounce as it is heard; 0: it is
  /// not.
  double heard_sd_s = 0;

  void check() const;
};

/// How the bounce is seen.
enum class BounceView {
  kTooFew,  ///< fewer than two sightings before or after the bounce
  kBlind,   ///< the bounce hardly shows: its push points at the camera
  kWeak,    ///< it shows little
  kClear,
};

struct CameraBound {
  BounceView view = BounceView::kTooFew;
  double x_m = 0;  ///< standard deviations; infinite when kTooFew
  double y_m = 0;
  double t_s = 0;
  double speed_mps = 0;
  double descent_rad = 0;
  double kick = 0;
  double rho_xy = 0;
  double sightings_before = 0;  ///< mean over the phases
  double sightings_after = 0;
  double spacing_m = 0;  ///< between sightings before the bounce
  double streak_px = 0;  ///< way of the ball during the exposure
  double px_per_m = 0;   ///< across the line of sight at the bounce
  /// Share of the change of velocity that lies across the line of sight.
  double push_seen = 0;
};

/// Bounce at `bounce_m` of the table frame. Singular geometry gives infinite
/// standard deviations, not numbers.
CameraBound camera_bound(const CameraModel& camera,
                         const Eigen::Vector2d& bounce_m,
                         const PlannedFeed& feed,
                         const SightingPlan& plan);

}  // namespace evenfeed
