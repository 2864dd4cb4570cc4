// SPDX-License-Identifier: MIT
#include "plan/camera_bound.h"

#include "base/check.h"
#include "base/units.h"
#include "stats/symmetric_eigen.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
// Where each quantity stands among the parameters: the bounce, the velocities
// before and after it, the remaining accelerations; triples are x, y, z.
enum Parameter {
  kPlaceX,
  kPlaceY,
  kTime,
  kVelocityIn,
  kVelocityOut = kVelocityIn + 3,
  kAirIn = kVelocityOut + 3,
  kAirOut = kAirIn + 3,
  kMost = kAirOut + 3,
  kWithoutAir = kAirIn,
};
using Parameters = Eigen::Matrix<double, kMost, 1>;

Eigen::Vector3d ball_at(const Parameters& p, double t, double radius_m) {
  const double dt = t - p(kTime);
  const bool before = dt < 0;
  Eigen::Vector3d a = p.segment<3>(before ? kAirIn : kAirOut);
  a.z() -= kGravity_mps2;
  return Eigen::Vector3d(p(kPlaceX), p(kPlaceY), radius_m) +
         p.segment<3>(before ? kVelocityIn : kVelocityOut) * dt +
         0.5 * a * dt * dt;
}

Eigen::Vector3d incoming(const Parameters& p) {
  return p.segment<3>(kVelocityIn);
}
Eigen::Vector3d outgoing(const Parameters& p) {
  return p.segment<3>(kVelocityOut);
}

// The moments of the frames, the bounce at 0.
std::vector<double> frame_times(const SightingPlan& plan,
                                double before_s,
                                double after_s,
                                double phase) {
  std::vector<double> times;
  const auto first = -static_cast<int>(std::floor(before_s * plan.fps)) - 1;
  const auto last = static_cast<int>(std::floor(after_s * plan.fps)) + 1;
  for (int k = first; k <= last; ++k) {
    const double t = (k + phase) / plan.fps;
    if (t >= -before_s && t <= after_s) times.push_back(t);
  }
  return times;
}

struct Stretch {
  double before_s;
  double after_s;
};

// Never beyond the second bounce.
Stretch stretch_in_view(const PlannedFeed& feed, const SightingPlan& plan) {
  const Eigen::Vector3d in = feed.velocity_before_mps();
  const Eigen::Vector3d out = feed.velocity_after_mps();
  const double second_bounce_s = 2 * out.z() / kGravity_mps2;
  return {plan.before_m / in.head<2>().norm(),
          std::min(plan.after_m / std::max(1e-9, out.head<2>().norm()),
                   0.98 * second_bounce_s)};
}

class Information {
 public:
  Information(const CameraModel& camera,
              const Parameters& truth,
              const PlannedFeed& feed,
              const SightingPlan& plan)
      : camera_(camera), truth_(truth), feed_(feed), plan_(plan) {
    size_ = plan.acceleration_sd_mps2.maxCoeff() > 0 ? kMost : kWithoutAir;
    matrix_ = Eigen::MatrixXd::Zero(size_, size_);
  }

  // False when the ball is outside the picture then.
  bool add_sighting(double t) {
    const auto seen = camera_.project(ball_at(truth_, t, feed_.ball_radius_m));
    if (!seen || seen->x() < 0 || seen->y() < 0 ||
        seen->x() > camera_.width_px - 1 || seen->y() > camera_.height_px - 1) {
      return false;
    }
    constexpr double kStep = 1e-6;
    Eigen::Matrix<double, 2, Eigen::Dynamic> jacobian(2, size_);
    for (int k = 0; k < size_; ++k) {
      Parameters more = truth_;
      Parameters less = truth_;
      more(k) += kStep;
      less(k) -= kStep;
      const auto up = camera_.project(ball_at(more, t, feed_.ball_radius_m));
      const auto down = camera_.project(ball_at(less, t, feed_.ball_radius_m));
      if (!up || !down) return false;
      jacobian.col(k) = (*up - *down) / (2 * kStep);
    }
    matrix_ +=
        jacobian.transpose() * jacobian / (plan_.noise_px * plan_.noise_px);
    return true;
  }

  void add_priors() {
    if (plan_.restitution_sd > 0) {
      // v_z after = -e v_z before
      Eigen::VectorXd direction = Eigen::VectorXd::Zero(size_);
      direction(kVelocityOut + 2) = 1;
      direction(kVelocityIn + 2) = feed_.restitution;
      const double sd = plan_.restitution_sd * std::abs(incoming(truth_).z());
      matrix_ += direction * direction.transpose() / (sd * sd);
    }
    if (plan_.heard_sd_s > 0) {
      matrix_(kTime, kTime) += 1 / (plan_.heard_sd_s * plan_.heard_sd_s);
    }
    for (int k = kWithoutAir; k < size_; ++k) {
      const double sd =
          std::max(plan_.acceleration_sd_mps2((k - kWithoutAir) % 3), 1e-4);
      matrix_(k, k) += 1 / (sd * sd);
    }
  }

  // nullopt when the geometry is singular.
  std::optional<Eigen::MatrixXd> inverse() const {
    const Eigen::VectorXd scale = matrix_.diagonal().cwiseSqrt().cwiseInverse();
    if (!scale.allFinite()) return std::nullopt;
    const Eigen::MatrixXd scaled =
        scale.asDiagonal() * matrix_ * scale.asDiagonal();
    if (symmetric_eigen(scaled).values(0) < 1e-13) return std::nullopt;
    return scale.asDiagonal() * scaled.inverse() * scale.asDiagonal();
  }

 private:
  const CameraModel& camera_;
  const Parameters& truth_;
  const PlannedFeed& feed_;
  const SightingPlan& plan_;
  int size_ = kMost;
  Eigen::MatrixXd matrix_;
};

// Variances, and the covariance of x and y.
enum Told { kXX, kYY, kTT, kSpeed, kDescent, kKick, kXY, kTolds };
using Variances = Eigen::Matrix<double, kTolds, 1>;

Variances variances(const Eigen::MatrixXd& covariance, const Parameters& p) {
  const auto size = covariance.rows();
  const Eigen::Vector3d in = incoming(p);
  const double flat = in.head<2>().norm();
  const double flat_after = outgoing(p).head<2>().norm();
  Eigen::VectorXd speed = Eigen::VectorXd::Zero(size);
  speed.segment<3>(kVelocityIn) = in.normalized();
  // descent = atan2(-vz, flat)
  Eigen::VectorXd descent = Eigen::VectorXd::Zero(size);
  const double squared = in.squaredNorm();
  descent(kVelocityIn) = in.z() * in.x() / (flat * squared);
  descent(kVelocityIn + 1) = in.z() * in.y() / (flat * squared);
  descent(kVelocityIn + 2) = -flat / squared;
  Eigen::VectorXd kick = Eigen::VectorXd::Zero(size);
  for (int k = 0; k < 2; ++k) {
    kick(kVelocityOut + k) = outgoing(p)(k) / (flat_after * flat);
    kick(kVelocityIn + k) = -flat_after * in(k) / std::pow(flat, 3);
  }
  const auto spread = [&](const Eigen::VectorXd& g) {
    return g.dot(covariance * g);
  };
  Variances result;
  result(kXX) = covariance(kPlaceX, kPlaceX);
  result(kYY) = covariance(kPlaceY, kPlaceY);
  result(kTT) = covariance(kTime, kTime);
  result(kSpeed) = spread(speed);
  result(kDescent) = spread(descent);
  result(kKick) = spread(kick);
  result(kXY) = covariance(kPlaceX, kPlaceY);
  return result;
}

void describe_view(const CameraModel& camera,
                   const Eigen::Vector3d& at_m,
                   const PlannedFeed& feed,
                   const SightingPlan& plan,
                   CameraBound& bound) {
  const Eigen::Vector3d sight = (at_m - camera.eye_in_table_m()).normalized();
  bound.px_per_m = camera.px_per_m(at_m);
  const Eigen::Vector3d in = feed.velocity_before_mps();
  const Eigen::Vector3d push = feed.velocity_after_mps() - in;
  bound.push_seen = (push - sight * push.dot(sight)).norm() / push.norm();
  bound.spacing_m = in.norm() / plan.fps;
  bound.streak_px = (in - sight * in.dot(sight)).norm() *
                    camera.exposure_or_zero_s() * bound.px_per_m;
  // Shares below which s_t = noise / |push seen| is 3 and 10 times that of a
  // view from the side.
  bound.view = bound.push_seen < 0.1   ? BounceView::kBlind
               : bound.push_seen < 0.3 ? BounceView::kWeak
                                       : BounceView::kClear;
}

}  // namespace

void PlannedFeed::check() const {
  require_in_range(speed_mps, 0.1, 100, "feed.speed_mps");
  require_in_range(deg_from_rad(descent_rad), 1, 85, "feed.descent_deg");
  require_in_range(deg_from_rad(heading_rad), -90, 90, "feed.heading_deg");
  require_in_range(topspin_radps, -2000, 2000, "feed.topspin_radps");
  require_in_range(restitution, 0.05, 1, "feed.restitution");
  require_in_range(friction, 0, 2, "feed.friction");
  require_in_range(ball_radius_m, 0.001, 0.5, "feed.ball_radius_m");
}

Eigen::Vector3d PlannedFeed::velocity_before_mps() const {
  const double flat = speed_mps * std::cos(descent_rad);
  return {flat * std::cos(heading_rad),
          flat * std::sin(heading_rad),
          -speed_mps * std::sin(descent_rad)};
}

Eigen::Vector3d PlannedFeed::velocity_after_mps() const {
  const Eigen::Vector3d in = velocity_before_mps();
  const double flat = in.head<2>().norm();
  const double slip = flat - ball_radius_m * topspin_radps;
  const double most = friction * (1 + restitution) * std::abs(in.z());
  const double lost = std::copysign(std::min(most, 0.4 * std::abs(slip)), slip);
  Eigen::Vector3d out = in * ((flat - lost) / flat);
  out.z() = -restitution * in.z();
  return out;
}

void SightingPlan::check() const {
  require_in_range(fps, 1, 100000, "fps");
  require_in_range(noise_px, 0.001, 100, "noise_px");
  require_in_range(before_m, 0.01, 100, "before_m");
  require_in_range(after_m, 0.01, 100, "after_m");
  require_in_range(phases, 1, 1000, "phases");
  require_not_negative(restitution_sd, "restitution_sd");
  require_not_negative(heard_sd_s, "heard_sd_s");
}

CameraBound camera_bound(const CameraModel& camera,
                         const Eigen::Vector2d& bounce_m,
                         const PlannedFeed& feed,
                         const SightingPlan& plan) {
  feed.check();
  plan.check();
  Parameters truth = Parameters::Zero();
  truth.head<2>() = bounce_m;
  truth.segment<3>(kVelocityIn) = feed.velocity_before_mps();
  truth.segment<3>(kVelocityOut) = feed.velocity_after_mps();
  CameraBound bound;
  describe_view(camera,
                {bounce_m.x(), bounce_m.y(), feed.ball_radius_m},
                feed,
                plan,
                bound);
  const Stretch stretch = stretch_in_view(feed, plan);
  Variances sum = Variances::Zero();
  bool everywhere = true;
  for (int i = 0; i < plan.phases; ++i) {
    Information information(camera, truth, feed, plan);
    int before = 0;
    int after = 0;
    for (const double t : frame_times(plan,
                                      stretch.before_s,
                                      stretch.after_s,
                                      (i + 0.5) / plan.phases)) {
      if (information.add_sighting(t)) ++(t < 0 ? before : after);
    }
    bound.sightings_before += static_cast<double>(before) / plan.phases;
    bound.sightings_after += static_cast<double>(after) / plan.phases;
    information.add_priors();
    const auto covariance = information.inverse();
    if (before < 2 || after < 2 || !covariance) {
      everywhere = false;
      continue;
    }
    sum += variances(*covariance, truth) / plan.phases;
  }
  if (bound.sightings_before < 2 || bound.sightings_after < 2) {
    bound.view = BounceView::kTooFew;
  }
  if (!everywhere) sum.setConstant(kInfinite);
  bound.x_m = std::sqrt(sum(kXX));
  bound.y_m = std::sqrt(sum(kYY));
  bound.t_s = std::sqrt(sum(kTT));
  bound.speed_mps = std::sqrt(sum(kSpeed));
  bound.descent_rad = std::sqrt(sum(kDescent));
  bound.kick = std::sqrt(sum(kKick));
  bound.rho_xy = everywhere ? sum(kXY) / (bound.x_m * bound.y_m) : 0;
  return bound;
}

}  // namespace evenfeed
