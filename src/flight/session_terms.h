// SPDX-License-Identifier: MIT
// What all feeds of one film share: what is believed of air, spin and bounce,
// where the launcher's mouth is, and the camera. Fixed numbers while one feed
// is fitted; unknowns of their own in the joint adjustment.
#pragma once

#include "flight/flight_options.h"
#include "geometry/bench.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <cmath>

#include <Eigen/Core>
#include <Eigen/Geometry>

namespace evenfeed {

/// Places in the vector of a session's unknowns, SI.
enum SessionParameter {
  kSessionDrag,
  kSessionLiftIn,
  kSessionLiftOut,
  kSessionSideLiftIn,
  kSessionSideLiftOut,
  kSessionRestitution,
  kSessionKick,
  kSessionTurn,
  kSessionLaunchHeight,
  kSharedPriors,                    ///< how many of the above
  kSessionReadout = kSharedPriors,  ///< added to camera.readout_s
  kSessionLaunchPlace,              ///< added to launch_height.plane_x_m
  kSessionCamera,                   ///< 9 values, see CameraCovariance
  kSessionParameters = kSessionCamera + kCameraParameters,
};

template <typename T>
using SessionVectorT = Eigen::Matrix<T, kSessionParameters, 1>;
using SessionVector = SessionVectorT<double>;
using SessionCovariance =
    Eigen::Matrix<double, kSessionParameters, kSessionParameters>;

/// The priors in the order of SessionParameter; the launch height has an
/// infinite sd when it is not known.
[[nodiscard]] std::array<Prior, kSharedPriors> priors_of(
    const FlightOptions& options);
void put_priors(const std::array<Prior, kSharedPriors>& priors,
                FlightOptions& options);

/// The camera as a session's unknowns change it. Templated for the solver.
template <typename T>
class SessionCamera {
 public:
  /// The camera as it stands.
  explicit SessionCamera(const CameraModel& camera)
      : camera_(camera),
        rotation_(camera.camera_from_table.rotation.toRotationMatrix()),
        lens_(lens_of(camera)) {}

  /// The camera changed by s.
  SessionCamera(const CameraModel& camera, const SessionVectorT<T>& s)
      : SessionCamera(camera) {
    changed_ = true;
    const auto delta = s.template tail<kCameraParameters>();
    lens_.focal_px += delta[0];
    lens_.k1 += delta[1];
    lens_.k2 += delta[2];
    turn_rad_ = delta.template segment<3>(3);
    shift_m_ = delta.template tail<3>();
    readout_s_ = s[kSessionReadout];
  }

  T time_s(const Sighting& sighting) const {
    if (!changed_) return T(sighting.t_s);
    const double row_px = std::isfinite(sighting.fitted_row_px)
                              ? sighting.fitted_row_px
                              : sighting.centre_px.y();
    return T(sighting.t_s) + T(row_px / camera_.height_px) * readout_s_;
  }

  Eigen::Matrix<T, 3, 1> in_camera(const Eigen::Matrix<T, 3, 1>& x_m) const {
    using Vector = Eigen::Matrix<T, 3, 1>;
    Vector x = rotation_.cast<T>() * x_m;
    if (changed_) {
      // The rotation to second order; the turns are below 0.01 rad.
      const Vector once = turn_rad_.cross(x);
      x += once + turn_rad_.cross(once) / T(2) + shift_m_;
    }
    return x + camera_.camera_from_table.translation_m.template cast<T>();
  }

  Eigen::Matrix<T, 2, 1> project(
      const Eigen::Matrix<T, 3, 1>& x_in_camera) const {
    return lens_.project(x_in_camera);
  }

  double exposure_s() const { return camera_.exposure_or_zero_s(); }

 private:
  static LensModel<T> lens_of(const CameraModel& camera) {
    const auto& lens = camera.lens;
    return {T(lens.focal_px),
            T(lens.centre_u_px),
            T(lens.centre_v_px),
            T(lens.k1),
            T(lens.k2)};
  }

  const CameraModel& camera_;
  Eigen::Matrix3d rotation_;
  LensModel<T> lens_;
  bool changed_ = false;
  Eigen::Matrix<T, 3, 1> turn_rad_, shift_m_;
  T readout_s_ = T(0);
};

}  // namespace evenfeed
