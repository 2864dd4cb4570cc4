// SPDX-License-Identifier: MIT
#include "bench/world_launcher.h"

#include "base/units.h"
#include "simulate/launcher_process.h"

#include <cmath>
#include <optional>

namespace evenfeed {
namespace {

constexpr double kLife_s = 1.3;

MovingBall mean_ball(LauncherOptions launcher, double elevation_rad) {
  launcher.feeds = 1;
  launcher.misfeed_probability = 0;
  launcher.exit_sd_m.setZero();
  for (Scattered* one : {&launcher.speed_mps,
                         &launcher.elevation_rad,
                         &launcher.heading_rad,
                         &launcher.topspin_radps,
                         &launcher.sidespin_radps,
                         &launcher.corkscrew_radps}) {
    one->sd = 0;
  }
  launcher.elevation_rad.mean = elevation_rad;
  return launches(launcher, 1).front().state;
}

// Where it first touches the receiving half; short of it -1, beyond it 3.
Eigen::Vector2d first_touch_m(const World& world, const MovingBall& ball) {
  const BallPath path = trace_ball(world, ball, 0, kLife_s);
  for (const BallEvent& event : path.events()) {
    if (event.kind == BallEventKind::kSamplePlane) continue;
    const Eigen::Vector2d place = event.before.x_m.head<2>();
    if (event.kind == BallEventKind::kNet) return {-1, place.y()};
    if (event.kind == BallEventKind::kFloor) break;
    return {place.x() > world.surface.net.x_m ? place.x() : -1, place.y()};
  }
  return {3, path.at(path.end_s())->x_m.y()};
}

// The lower of the elevations that land at x; nullopt when none clears the net.
std::optional<double> elevation_for(const World& world,
                                    const LauncherOptions& launcher,
                                    double x_m) {
  double low = rad_from_deg(-30);
  double high = rad_from_deg(35);
  for (int i = 0; i < 16; ++i) {
    const double middle = (low + high) / 2;
    const double x = first_touch_m(world, mean_ball(launcher, middle)).x();
    (x < x_m ? low : high) = middle;
  }
  const double x = first_touch_m(world, mean_ball(launcher, low)).x();
  if (std::abs(x - x_m) > 0.02) return std::nullopt;
  return low;
}

void draw_throw(Draws& draws, bool spin, LauncherOptions& launcher) {
  launcher.exit_m = {draws.even(-1.7, -1.2),
                     draws.chance(0.5) ? 0 : draws.even(-0.5, 0.5),
                     draws.even(0.15, 0.6)};
  launcher.exit_sd_m = Eigen::Vector3d(0, 0.001, 0.001);
  const double speed = draws.log_even(3, 15);
  launcher.speed_mps = {speed, speed * draws.log_even(0.003, 0.02)};
  launcher.elevation_rad.sd = rad_from_deg(draws.log_even(0.1, 0.6));
  launcher.heading_rad.sd = rad_from_deg(draws.log_even(0.1, 0.6));
  const bool little = !spin || draws.chance(0.25);
  const double top = little ? draws.normal(2) : draws.even(-100, 100);
  const double side = little ? draws.normal(1) : draws.normal(15);
  const double cork = little ? 0 : draws.normal(5);
  const double part = draws.even(0.02, 0.06);
  const auto scattered = [&](double revps) {
    return Scattered{radps_from_revps(revps),
                     radps_from_revps(0.5 + part * std::abs(revps))};
  };
  launcher.topspin_radps = scattered(top);
  launcher.sidespin_radps = scattered(side);
  launcher.corkscrew_radps = scattered(cork);
  launcher.autocorrelation = draws.chance(0.3) ? draws.even(0, 0.5) : 0;
}

// Turns and lifts the launcher until the mean feed lands at the target.
bool aim(const World& world,
         const Eigen::Vector2d& target_m,
         LauncherOptions& launcher) {
  const Eigen::Vector2d way = target_m - launcher.exit_m.head<2>();
  launcher.heading_rad.mean = std::atan2(way.y(), way.x());
  for (int i = 0; i < 2; ++i) {
    const auto elevation = elevation_for(world, launcher, target_m.x());
    if (!elevation) return false;
    launcher.elevation_rad.mean = *elevation;
    const Eigen::Vector2d at =
        first_touch_m(world, mean_ball(launcher, *elevation));
    launcher.heading_rad.mean += (target_m.y() - at.y()) / way.norm();
  }
  // Feeds that scatter by two sd still land on the receiving half.
  for (const double sds : {-2., 2.}) {
    LauncherOptions far = launcher;
    far.speed_mps.mean += sds * launcher.speed_mps.sd;
    const double x =
        first_touch_m(world,
                      mean_ball(far,
                                launcher.elevation_rad.mean +
                                    sds * launcher.elevation_rad.sd))
            .x();
    if (x < 0.1 || x > 1.36) return false;
  }
  return true;
}

}  // namespace

MeanFeed draw_launcher(const World& world,
                       Draws& draws,
                       bool spin,
                       bool to_middle,
                       LauncherOptions& launcher) {
  Eigen::Vector2d target_m;
  do {
    draw_throw(draws, spin, launcher);
    target_m = {draws.even(0.35, 1.1), draws.even(-0.3, 0.3)};
    if (to_middle) {
      const double way_m = world.sample.x_m - launcher.exit_m.x();
      target_m.y() =
          launcher.exit_m.y() * (world.sample.x_m - target_m.x()) / way_m;
    }
  } while (!aim(world, target_m, launcher));
  MeanFeed mean;
  mean.t_end_s = mean.end_y_m = mean.end_z_m = std::nan("");
  const BallPath path = trace_ball(
      world, mean_ball(launcher, launcher.elevation_rad.mean), 0, kLife_s);
  for (const BallEvent& event : path.events()) {
    if (event.kind == BallEventKind::kTable) {
      if (mean.t_bounce_s > 0) break;
      mean.t_bounce_s = event.t_s;
    }
    if (event.kind == BallEventKind::kSamplePlane && mean.t_bounce_s > 0) {
      mean.t_end_s = event.t_s;
      mean.end_y_m = event.before.x_m.y();
      mean.end_z_m = event.before.x_m.z();
      break;
    }
  }
  return mean;
}

}  // namespace evenfeed
