// SPDX-License-Identifier: MIT
// The residual vector of the flight fit, of one feed alone (for
// ceres::TinySolver) or beside what its session shares.
#pragma once

#include "flight/flight_model.h"
#include "flight/session_terms.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace evenfeed {

/// One for each prior, then a known passage and when the bounce may be.
inline constexpr int kFlightPriors = kSharedPriors + 4;

/// The residual, in sigmas, of a sighting that the flight passes behind the
/// camera: it has no place in the picture, and no derivative.
inline constexpr double kBehindCamera = 1e4;

/// Two residuals per sighting (in sigmas, times the root of its weight), then
/// kFlightPriors. Both arcs are integrated away from the bounce once for all
/// sightings. Every residual is set; false when one is kBehindCamera, since
/// then the Jacobian means nothing. `s_per_film_s`: of flight to a second of
/// film, where that plays slower or faster than it was taken; the bounce stays
/// where it is in the film.
class FlightResiduals {
 public:
  using Scalar = double;
  enum { NUM_RESIDUALS = Eigen::Dynamic, NUM_PARAMETERS = kFlightParameters };

  FlightResiduals(const std::vector<Sighting>& sightings,
                  const CameraModel& camera,
                  const FlightOptions& options,
                  const std::vector<double>& weights,
                  double s_per_film_s = 1)
      : sightings_(sightings),
        camera_(camera),
        options_(options),
        weights_(weights),
        s_per_film_s_(s_per_film_s),
        priors_(priors_of(options)) {}

  int NumResiduals() const {
    return 2 * static_cast<int>(sightings_.size()) + kFlightPriors;
  }

  template <typename T>
  [[nodiscard]] bool operator()(const T* parameters, T* residuals) const {
    std::array<T, kSharedPriors> means;
    for (std::size_t i = 0; i < means.size(); ++i) {
      means[i] = T(priors_[i].mean);
    }
    return evaluate<T>(Eigen::Map<const FlightVectorT<T>>(parameters),
                       SessionCamera<T>(camera_),
                       means,
                       residuals);
  }

  /// The same with the session's camera and the means of its priors; their
  /// spreads are the options'.
  template <typename T>
  [[nodiscard]] bool evaluate(const FlightVectorT<T>& p,
                              const SessionCamera<T>& camera,
                              const std::array<T, kSharedPriors>& means,
                              T* residuals,
                              const T& launch_place_m = T(0)) const {
    const double t_b = scalar_part(p[kTimeOfBounce]);
    const auto first_after = std::partition_point(
        sightings_.begin(), sightings_.end(), [&](const Sighting& s) {
          return scalar_part(camera.time_s(s)) < t_b;
        });
    const int split = static_cast<int>(first_after - sightings_.begin());
    const int count = static_cast<int>(sightings_.size());
    bool in_front = true;
    BallState<T> state;
    const auto walk = [&](Arc arc, int from, int to, int step) {
      state = state_at_bounce(p, arc, options_.ball.radius_m);
      const AirForces<T> air = forces_of_arc(p, arc, options_.air_per_m());
      T now = p[kTimeOfBounce];
      for (int i = from; i != to; i += step) {
        const T then = camera.time_s(sightings_[i]);
        state = fly<T>(state, (then - now) * T(s_per_film_s_), air);
        now = then;
        in_front &=
            put_residual(p, camera, i, then, state.x_m, residuals + 2 * i);
      }
    };
    walk(Arc::kOut, split, count, 1);
    walk(Arc::kIn, split - 1, -1, -1);
    T* const priors = residuals + 2 * count;
    put_priors(p, means, priors);
    priors[kSessionLaunchHeight] = launch_height_residual(
        p, state, launch_place_m, means[kSessionLaunchHeight]);
    put_bounce_priors(p, means, priors);
    put_passage(p, priors + kSharedPriors);
    priors[kSharedPriors + 3] = out_of_time(p[kTimeOfBounce]);
    return in_front;
  }

 private:
  template <typename T>
  bool put_residual(const FlightVectorT<T>& p,
                    const SessionCamera<T>& camera,
                    int i,
                    const T& t_s,
                    const Eigen::Matrix<T, 3, 1>& at_mid_m,
                    T* out) const {
    const Sighting& s = sightings_[i];
    const Eigen::Matrix<T, 3, 1> x_in_camera =
        camera.in_camera(mean_over_exposure(p, t_s, at_mid_m));
    if (scalar_part(x_in_camera.z()) < 0.05) {
      out[0] = out[1] = T(kBehindCamera);
      return false;
    }
    const Eigen::Matrix<T, 2, 1> seen = camera.project(x_in_camera);
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
      const T& t_mid_s,
      const Eigen::Matrix<T, 3, 1>& at_mid_m) const {
    const double exposure = camera_.exposure_or_zero_s() * s_per_film_s_;
    const T to_bounce = (p[kTimeOfBounce] - t_mid_s) * T(s_per_film_s_);
    if (std::abs(scalar_part(to_bounce)) >= exposure / 2) return at_mid_m;
    const T before = to_bounce + T(exposure / 2);
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
  void put_priors(const FlightVectorT<T>& p,
                  const std::array<T, kSharedPriors>& means,
                  T* out) const {
    const auto strain = [&](int which, const T& value) {
      out[which] = (value - means[which]) / T(priors_[which].sd);
    };
    strain(kSessionDrag, p[kDrag]);
    strain(kSessionLiftIn, p[kLiftIn]);
    strain(kSessionLiftOut, p[kLiftOut]);
    strain(kSessionSideLiftIn, p[kSideLiftIn]);
    strain(kSessionSideLiftOut, p[kSideLiftOut]);
    strain(kSessionRestitution, p[kVelocityOut + 2] / down_mps(p));
  }

  // `first`: the state at the first sighting, from which the mouth is near.
  template <typename T>
  T launch_height_residual(const FlightVectorT<T>& p,
                           BallState<T> first,
                           const T& place_m,
                           const T& height_m) const {
    if (!options_.launch_height) return T(0);
    constexpr double kStrained = 10;  // for what never passes the plane
    if (scalar_part(first.v_mps.x()) < 0.3) return T(kStrained);
    const AirForces<T> air = forces_of_arc(p, Arc::kIn, options_.air_per_m());
    for (int i = 0; i < 2; ++i) {
      const T plane_x_m = T(options_.launch_height->plane_x_m) + place_m;
      const T dt = (plane_x_m - first.x_m.x()) / first.v_mps.x();
      if (std::abs(scalar_part(dt)) > 1) return T(kStrained);
      first = fly<T>(first, dt, air);
      if (scalar_part(first.v_mps.x()) < 0.3) return T(kStrained);
    }
    return (first.x_m.z() - height_m) / T(priors_[kSessionLaunchHeight].sd);
  }

  template <typename T>
  void put_passage(const FlightVectorT<T>& p, T* out) const {
    Eigen::Map<Eigen::Matrix<T, 3, 1>> strain(out);
    strain.setZero();
    if (!options_.passage) return;
    const KnownPassage& known = *options_.passage;
    const BallState<T> then =
        fly<T>(state_at_bounce(p, Arc::kIn, options_.ball.radius_m),
               (T(known.t_s) - p[kTimeOfBounce]) * T(s_per_film_s_),
               forces_of_arc(p, Arc::kIn, options_.air_per_m()));
    strain = known.root_information.template cast<T>() *
             (then.x_m - known.x_m.template cast<T>());
  }

  // A wall at either end of when the bounce may be: steep behind it, nothing
  // before it.
  template <typename T>
  T out_of_time(const T& bounce_s) const {
    constexpr double kSteep_s = 1e-4;
    const double at_s = scalar_part(bounce_s);
    const auto behind = [&](const std::optional<double>& wall_s, double way) {
      return wall_s && way * (at_s - *wall_s) > 0;
    };
    if (behind(options_.no_bounce_before_s, -1)) {
      return (bounce_s - T(*options_.no_bounce_before_s)) / T(kSteep_s);
    }
    if (behind(options_.no_bounce_after_s, 1)) {
      return (bounce_s - T(*options_.no_bounce_after_s)) / T(kSteep_s);
    }
    return T(0);
  }

  template <typename T>
  static T down_mps(const FlightVectorT<T>& p) {
    using std::sqrt;
    return sqrt(p[kVelocityIn + 2] * p[kVelocityIn + 2] + T(1e-4));
  }

  template <typename T>
  void put_bounce_priors(const FlightVectorT<T>& p,
                         const std::array<T, kSharedPriors>& means,
                         T* out) const {
    const T in = flat_speed_in(p);
    // A ball without spin loses mu (1 + e) |vz| while it slides and 2/5 of
    // its speed when it grips (Garwin 1969; hollow sphere).
    const T slide = T(options_.friction) * (T(1) + means[kSessionRestitution]) *
                    down_mps(p) / in;
    const T loss = scalar_part(slide) < 0.4 ? slide : T(0.4);
    const Eigen::Matrix<T, 2, 1> kept = kept_of_speed(p, in);
    const T kick = kept[0] - (T(1) - loss);
    out[kSessionKick] =
        (kick - means[kSessionKick]) / T(priors_[kSessionKick].sd);
    out[kSessionTurn] =
        (kept[1] - means[kSessionTurn]) / T(priors_[kSessionTurn].sd);
  }

  const std::vector<Sighting>& sightings_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  const std::vector<double>& weights_;
  const double s_per_film_s_;
  const std::array<Prior, kSharedPriors> priors_;
};

}  // namespace evenfeed
