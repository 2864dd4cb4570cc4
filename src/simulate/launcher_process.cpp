// SPDX-License-Identifier: MIT
#include "simulate/launcher_process.h"

#include "base/random.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

// Standard normal numbers with lag-one correlation; a stream of its own.
class Scatter {
 public:
  Scatter(std::uint64_t seed, std::string_view name, double phi)
      : engine_(derived_engine(seed, name)), phi_(phi) {}

  double next() {
    const double fresh = normal_(engine_);
    value_ =
        first_ ? fresh : phi_ * value_ + std::sqrt(1 - phi_ * phi_) * fresh;
    first_ = false;
    return value_;
  }

 private:
  RandomEngine engine_;
  std::normal_distribution<double> normal_;
  double phi_;
  double value_ = 0;
  bool first_ = true;
};

MovingBall state_of(const Eigen::Vector3d& exit_m,
                    double speed_mps,
                    double elevation_rad,
                    double heading_rad,
                    const Eigen::Vector3d& top_side_cork_radps) {
  const double ch = std::cos(heading_rad);
  const double sh = std::sin(heading_rad);
  MovingBall state;
  state.x_m = exit_m;
  state.v_mps = speed_mps * Eigen::Vector3d(std::cos(elevation_rad) * ch,
                                            std::cos(elevation_rad) * sh,
                                            std::sin(elevation_rad));
  const Eigen::Vector3d top_axis{-sh, ch, 0};
  state.spin_radps = top_side_cork_radps.x() * top_axis +
                     top_side_cork_radps.y() * Eigen::Vector3d::UnitZ() +
                     top_side_cork_radps.z() * state.v_mps.normalized();
  return state;
}

// One stream of numbers per quantity, so that changing one quantity's
// settings leaves the others' numbers alone.
class Process {
 public:
  Process(const LauncherOptions& options, std::uint64_t seed)
      : options_(options),
        speed_(seed, "launch speed", options.autocorrelation),
        elevation_(seed, "launch elevation", options.autocorrelation),
        heading_(seed, "launch heading", options.autocorrelation),
        topspin_(seed, "launch topspin", options.autocorrelation),
        sidespin_(seed, "launch sidespin", options.autocorrelation),
        corkscrew_(seed, "launch corkscrew", options.autocorrelation),
        exit_(seed, "launch exit", 0),
        interval_(seed, "launch interval", 0),
        chance_(derived_engine(seed, "launch chance")) {}

  Launch next(int i) {
    const LauncherOptions& o = options_;
    const double settling = std::exp(-i / o.warm_up_feeds);
    double speed = draw(o.speed_mps, speed_) + o.warm_up_speed_mps * settling +
                   o.drift_speed_mps * i;
    const double elevation = draw(o.elevation_rad, elevation_) +
                             o.warm_up_elevation_rad * settling +
                             o.drift_elevation_rad * i;
    const double heading =
        draw(o.heading_rad, heading_) + o.drift_heading_rad * i;
    const Eigen::Vector3d spin{draw(o.topspin_radps, topspin_),
                               draw(o.sidespin_radps, sidespin_),
                               draw(o.corkscrew_radps, corkscrew_)};
    Eigen::Vector3d exit = o.exit_m;
    for (int axis = 0; axis < 3; ++axis) {
      exit[axis] += o.exit_sd_m[axis] * exit_.next();
    }
    Launch launch;
    launch.misfeed = draws(o.misfeed_probability) ||
                     std::count(o.misfeeds.begin(), o.misfeeds.end(), i + 1);
    if (launch.misfeed) speed *= o.misfeed_speed_factor;
    launch.state = state_of(exit, speed, elevation, heading, spin);
    launch.t_s = t_s_;
    // Two feeds never leave closer than a twentieth of a second.
    t_s_ += std::max(0.05, draw(o.interval_s, interval_));
    return launch;
  }

  bool draws(double probability) {
    return std::uniform_real_distribution<double>(0, 1)(chance_) < probability;
  }
  void start_at(double t_s) { t_s_ = t_s; }

 private:
  static double draw(const Scattered& value, Scatter& scatter) {
    return value.mean + value.sd * scatter.next();
  }

  const LauncherOptions& options_;
  Scatter speed_, elevation_, heading_, topspin_, sidespin_, corkscrew_;
  Scatter exit_, interval_;
  RandomEngine chance_;
  double t_s_ = 0;
};

}  // namespace

std::vector<Launch> launches(const LauncherOptions& launcher,
                             std::uint64_t seed) {
  constexpr double kDoubleGap_s = 0.12;
  Process process(launcher, seed);
  process.start_at(launcher.first_s);
  std::vector<Launch> all;
  for (int i = 0; i < launcher.feeds; ++i) {
    all.push_back(process.next(i));
    if (!process.draws(launcher.double_feed_probability)) continue;
    Launch second = all.back();
    second.t_s += kDoubleGap_s;
    second.state.v_mps *= 0.93;
    second.second_of_double = true;
    all.push_back(second);
  }
  return all;
}

}  // namespace evenfeed
