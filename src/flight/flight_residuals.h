// SPDX-License-Identifier: MIT
// The residual vector of the flight fit, for ceres::TinySolver.
#pragma once

#include "flight/flight_model.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace evenfeed {

inline constexpr int kFlightPriors = 8;

/// Two residuals per sighting (in sigmas, times the root of its weight), then
/// kFlightPriors. Both arcs are integrated away from the bounce once for all
/// sightings.
class FlightResiduals {
 public:
  using Scalar = double;
  enum { NUM_RESIDUALS = Eigen::Dynamic, NUM_PARAMETERS = kFlightParameters };

  FlightResiduals(const std::vector<Sighting>& sightings,
                  const CameraModel& camera,
                  const FlightOptions& options,
                  const std::vector<double>& weights)
      : sightings_(sightings),
        camera_(camera),
        options_(options),
        weights_(weights),
        rotation_(camera.camera_from_table.rotation.toRotationMatrix()) {}

  int NumResiduals() const {
    return 2 * static_cast<int>(sightings_.size()) + kFlightPriors;
  }

  template <typename T>
  bool operator()(const T* parameters, T* residuals) const {
    const FlightVectorT<T> p = Eigen::Map<const FlightVectorT<T>>(parameters);
    const double t_b = scalar_part(p[kTimeOfBounce]);
    const auto first_after = std::partition_point(
        sightings_.begin(), sightings_.end(), [&](const Sighting& s) {
          return s.t_s < t_b;
        });
    const int split = static_cast<int>(first_after - sightings_.begin());
    const int count = static_cast<int>(sightings_.size());
    bool in_front = true;
    const auto walk = [&](Arc arc, int from, int to, int step) {
      BallState<T> state = state_at_bounce(p, arc, options_.ball.radius_m);
      const AirForces<T> air = forces_of_arc(p, arc, options_.air_per_m());
      T now = p[kTimeOfBounce];
      for (int i = from; i != to; i += step) {
        const T then(sightings_[i].t_s);
        state = fly<T>(state, then - now, air);
        now = then;
        in_front &= put_residual(p, i, state.x_m, residuals + 2 * i);
      }
    };
    walk(Arc::kIn, split - 1, -1, -1);
    walk(Arc::kOut, split, count, 1);
    put_priors(p, residuals + 2 * count);
    return in_front;
  }

 private:
  template <typename T>
  bool put_residual(const FlightVectorT<T>& p,
                    int i,
                    Eigen::Matrix<T, 3, 1> x_m,
                    T* out) const {
    const Sighting& s = sightings_[i];
    x_m = mean_over_exposure(p, s.t_s, x_m);
    const Eigen::Matrix<T, 3, 1> x_in_camera =
        rotation_.cast<T>() * x_m +
        camera_.camera_from_table.translation_m.cast<T>();
    if (scalar_part(x_in_camera.z()) < 0.05) return false;
    const auto& lens = camera_.lens;
    const LensModel<T> lens_t{T(lens.focal_px),
                              T(lens.centre_u_px),
                              T(lens.centre_v_px),
                              T(lens.k1),
                              T(lens.k2)};
    const Eigen::Matrix<T, 2, 1> seen = lens_t.project(x_in_camera);
    const double scale = std::sqrt(weights_[i]) / s.sigma_px;
    out[0] = (seen.x() - s.centre_px.x()) * scale;
    out[1] = (seen.y() - s.centre_px.y()) * scale;
    return true;
  }

  // A streak's centroid is the mean position while the shutter was open. On
  // one arc that is the position at mid-exposure (to a t_e^2 / 24: 0.06 mm at
  // 14 m/s^2 and 10 ms); across the bounce it is the mean of two legs.
  template <typename T>
  Eigen::Matrix<T, 3, 1> mean_over_exposure(
      const FlightVectorT<T>& p,
      double t_mid_s,
      const Eigen::Matrix<T, 3, 1>& at_mid_m) const {
    const double exposure = camera_.exposure_s;
    const double to_bounce = scalar_part(p[kTimeOfBounce]) - t_mid_s;
    if (std::abs(to_bounce) >= exposure / 2) return at_mid_m;
    const T before = p[kTimeOfBounce] - T(t_mid_s - exposure / 2);
    const T after = T(exposure) - before;
    const Eigen::Matrix<T, 3, 1> v_in = p.template segment<3>(kVelocityIn);
    const Eigen::Matrix<T, 3, 1> v_out = p.template segment<3>(kVelocityOut);
    Eigen::Matrix<T, 3, 1> mean(
        p[kBounceX], p[kBounceY], T(options_.ball.radius_m));
    mean +=
        (v_out * (after * after) - v_in * (before * before)) / T(2 * exposure);
    return mean;
  }

  template <typename T>
  void put_priors(const FlightVectorT<T>& p, T* out) const {
    using std::atan2;
    using std::sqrt;
    const FlightOptions& o = options_;
    out[0] = (p[kDrag] - T(o.drag)) / T(o.drag_sd);
    out[1] = p[kLiftIn] / T(o.lift_sd);
    out[2] = p[kLiftOut] / T(o.lift_sd);
    out[3] = p[kSideLiftIn] / T(o.side_lift_sd);
    out[4] = p[kSideLiftOut] / T(o.side_lift_sd);
    const T down = sqrt(p[kVelocityIn + 2] * p[kVelocityIn + 2] + T(1e-4));
    out[5] = (p[kVelocityOut + 2] - T(o.restitution) * down) /
             (T(o.restitution_sd) * down);
    const T in = sqrt(p[kVelocityIn] * p[kVelocityIn] +
                      p[kVelocityIn + 1] * p[kVelocityIn + 1] + T(1e-4));
    // A ball without spin loses mu (1 + e) |vz| while it slides and 2/5 of
    // its speed when it grips (Garwin 1969; hollow sphere).
    const T slide = T(o.friction * (1 + o.restitution)) * down / in;
    const T loss = scalar_part(slide) < 0.4 ? slide : T(0.4);
    const T along = (p[kVelocityOut] * p[kVelocityIn] +
                     p[kVelocityOut + 1] * p[kVelocityIn + 1]) /
                    (in * in);
    const T across = (p[kVelocityOut + 1] * p[kVelocityIn] -
                      p[kVelocityOut] * p[kVelocityIn + 1]) /
                     (in * in);
    out[6] = (along - (T(1) - loss)) / T(o.kick_sd);
    out[7] = across / T(o.turn_sd_rad);
  }

  const std::vector<Sighting>& sightings_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  const std::vector<double>& weights_;
  const Eigen::Matrix3d rotation_;
};

}  // namespace evenfeed
