// SPDX-License-Identifier: MIT
#include "simulate/ball_path.h"

#include "simulate/contact.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

constexpr double kStep_s = 1e-4;
constexpr int kKeepEvery = 5;  // a sample each 0.5 ms: 0.4 um off at most
constexpr double kRestVz_mps = 0.06;  // slower than this it rolls
constexpr double kHall_m = 6;         // beyond this nobody sees it

}  // namespace

std::optional<MovingBall> BallPath::at(double t_s) const {
  if (samples_.empty() || t_s < start_s() || t_s > end_s()) {
    return std::nullopt;
  }
  const auto next = std::upper_bound(
      samples_.begin(),
      samples_.end(),
      t_s,
      [](double t, const Sample& sample) { return t < sample.t_s; });
  if (next == samples_.end()) return samples_.back().state;
  const Sample& b = *next;
  const Sample& a = *std::prev(next);
  const double part = (t_s - a.t_s) / (b.t_s - a.t_s);
  MovingBall state = a.state;
  state.x_m += part * (b.state.x_m - a.state.x_m);
  state.v_mps += part * (b.state.v_mps - a.state.v_mps);
  return state;
}

double BallPath::length_m(double from_s, double to_s) const {
  double length = 0;
  for (std::size_t i = 1; i < samples_.size(); ++i) {
    const Sample& a = samples_[i - 1];
    const Sample& b = samples_[i];
    const double from = std::max(from_s, a.t_s);
    const double to = std::min(to_s, b.t_s);
    if (to <= from) continue;
    length +=
        (b.state.x_m - a.state.x_m).norm() * (to - from) / (b.t_s - a.t_s);
  }
  return length;
}

BallPath BallPath::with_run_up(double run_s) const {
  BallPath longer = *this;
  Sample first = samples_.front();
  first.t_s -= run_s;
  first.state.x_m -= run_s * first.state.v_mps;
  longer.samples_.insert(longer.samples_.begin(), first);
  return longer;
}

World world_of(const Scene& scene) {
  World world{scene.surface, scene.ball, scene.sample};
  if (scene.look.catch_box) {
    world.catch_x_m = scene.surface.length_m / 2 + 0.75;
  }
  return world;
}

Eigen::Vector3d sample_normal(const SampleOptions& sample) {
  return {-std::cos(sample.tilt_rad), 0, std::sin(sample.tilt_rad)};
}

// Steps one ball through the world. A contact is found as the zero of a gap
// between ball and obstacle within the step, by repeated shorter steps.
class BallTracer {
 public:
  BallTracer(const World& world, const MovingBall& start, double start_s)
      : world_(world), state_(start), t_s_(start_s) {
    keep();
  }

  BallPath trace(double life_s) {
    const double end_s = t_s_ + life_s;
    for (int step = 1; t_s_ < end_s && !gone(); ++step) {
      if (rolling_on_) {
        roll();
      } else {
        advance();
      }
      if (step % kKeepEvery == 0) keep();
    }
    keep();
    return std::move(path_);
  }

 private:
  enum class Obstacle { kNone, kTable, kFloor, kSample, kNet };

  void keep() {
    if (!path_.samples_.empty() && path_.samples_.back().t_s >= t_s_) return;
    path_.samples_.push_back({t_s_, state_});
  }

  bool gone() const {
    return std::abs(state_.x_m.x()) > kHall_m ||
           std::abs(state_.x_m.y()) > kHall_m ||
           state_.x_m.x() > world_.catch_x_m;
  }

  double floor_z() const { return -world_.surface.height_above_floor_m; }

  // Distance between the ball's skin and the obstacle, positive when free.
  double gap(Obstacle obstacle, const MovingBall& s) const {
    const double r = world_.ball.radius_m;
    switch (obstacle) {
      case Obstacle::kTable:
        return s.x_m.z() - r;
      case Obstacle::kFloor:
        return s.x_m.z() - floor_z() - r;
      case Obstacle::kSample:
        return sample_normal(world_.sample)
                   .dot(s.x_m - Eigen::Vector3d(
                                    world_.sample.x_m, 0, world_.sample.z_m)) -
               r;
      case Obstacle::kNet:
        return (s.x_m.x() - world_.surface.net.x_m) *
                   (state_.x_m.x() < world_.surface.net.x_m ? -1 : 1) -
               r;
      case Obstacle::kNone:
        break;
    }
    return 1;
  }

  // The ball touches the obstacle within its extent, not beside it.
  bool meets(Obstacle obstacle, const MovingBall& s) const {
    const Net& net = world_.surface.net;
    switch (obstacle) {
      case Obstacle::kTable:
        return world_.surface.height_above_floor_m <= 0 ||
               world_.surface.contains(s.x_m.head<2>());
      case Obstacle::kNet:
        return net.present && std::abs(s.x_m.y()) < net.half_width_m &&
               s.x_m.z() > -0.02 &&
               s.x_m.z() < net.height_m + 0.5 * world_.ball.radius_m;
      case Obstacle::kSample: {
        const double along =
            (s.x_m.z() - world_.sample.z_m) / std::cos(world_.sample.tilt_rad);
        return std::abs(s.x_m.y()) < world_.sample.width_m / 2 &&
               std::abs(along) < world_.sample.height_m / 2;
      }
      default:
        return true;
    }
  }

  void advance() {
    const MovingBall next = fly(world_.ball, state_, kStep_s);
    for (const Obstacle obstacle : {Obstacle::kTable,
                                    Obstacle::kSample,
                                    Obstacle::kNet,
                                    Obstacle::kFloor}) {
      if (gap(obstacle, state_) <= 0 || gap(obstacle, next) > 0) continue;
      const auto [dt_s, touching] = find_contact(obstacle);
      if (!meets(obstacle, touching)) {
        if (obstacle == Obstacle::kSample) pass_sample_plane(dt_s, touching);
        continue;
      }
      t_s_ += dt_s;
      state_ = touching;
      keep();
      touch(obstacle);
      return;
    }
    t_s_ += kStep_s;
    state_ = next;
  }

  // The step to the zero of the gap, by the secant rule with a bracket.
  std::pair<double, MovingBall> find_contact(Obstacle obstacle) const {
    double low = 0;
    double high = kStep_s;
    MovingBall at = state_;
    double dt = 0;
    for (int i = 0; i < 40; ++i) {
      dt = (low + high) / 2;
      at = fly(world_.ball, state_, dt);
      (gap(obstacle, at) > 0 ? low : high) = dt;
    }
    return {dt, at};
  }

  void pass_sample_plane(double dt_s, const MovingBall& at) {
    path_.events_.push_back({BallEventKind::kSamplePlane, t_s_ + dt_s, at, at});
  }

  void touch(Obstacle obstacle) {
    const BallPhysics& ball = world_.ball;
    const MovingBall before = state_;
    BallEventKind kind = BallEventKind::kTable;
    switch (obstacle) {
      case Obstacle::kTable:
        state_ = bounce(state_,
                        {0, 0, 1},
                        {ball.restitution, ball.friction},
                        ball.radius_m);
        break;
      case Obstacle::kFloor:
        kind = BallEventKind::kFloor;
        state_ = bounce(state_,
                        {0, 0, 1},
                        {ball.floor_restitution, ball.floor_friction},
                        ball.radius_m);
        break;
      case Obstacle::kSample:
        if (!world_.sample.present) {
          pass_sample_plane(0, state_);
          state_ = fly(ball, state_, kStep_s);
          t_s_ += kStep_s;
          return;
        }
        kind = BallEventKind::kSample;
        state_ = bounce(state_,
                        sample_normal(world_.sample),
                        {world_.sample.restitution, world_.sample.friction},
                        ball.radius_m);
        break;
      case Obstacle::kNet:
        kind = BallEventKind::kNet;
        // A net takes nearly all of it; the ball drops at its foot.
        state_.v_mps =
            state_.v_mps.cwiseProduct(Eigen::Vector3d(-0.12, 0.3, 0.3));
        state_.spin_radps *= 0.3;
        break;
      case Obstacle::kNone:
        return;
    }
    path_.events_.push_back({kind, t_s_, before, state_});
    const bool flat =
        obstacle == Obstacle::kTable || obstacle == Obstacle::kFloor;
    if (flat && state_.v_mps.z() < kRestVz_mps) rolling_on_ = obstacle;
    // Off the surface by the least step, so that the same contact is not
    // found again.
    state_.x_m += 1e-7 * (state_.v_mps - before.v_mps).normalized();
    t_s_ += 1e-9;
    path_.samples_.push_back({t_s_, state_});
  }

  void roll() {
    state_.v_mps.z() = 0;
    const double speed = state_.v_mps.norm();
    const double slower =
        std::max(0.0, speed - world_.ball.rolling_mps2 * kStep_s);
    if (speed > 0) state_.v_mps *= slower / speed;
    state_.x_m += kStep_s * state_.v_mps;
    t_s_ += kStep_s;
    if (!meets(*rolling_on_, state_)) rolling_on_.reset();
  }

  const World& world_;
  MovingBall state_;
  double t_s_;
  std::optional<Obstacle> rolling_on_;
  BallPath path_;
};

BallPath trace_ball(const World& world,
                    const MovingBall& start,
                    double start_s,
                    double life_s) {
  return BallTracer(world, start, start_s).trace(life_s);
}

}  // namespace evenfeed
