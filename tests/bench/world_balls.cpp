// SPDX-License-Identifier: MIT
#include "bench/world_balls.h"

#include "bench/draws.h"
#include "simulate/fed_ball.h"
#include "simulate/launcher_process.h"
#include "simulate/strays.h"

#include <cmath>

namespace evenfeed {
namespace {

constexpr double kLife_s = 4;

Misfeed fail(MovingBall& ball, Draws& draws) {
  const double which = draws.even(0, 1);
  if (which < 0.35) {
    ball.v_mps *= draws.even(0.55, 0.85);
    return Misfeed::kShort;
  }
  if (which < 0.7) {
    ball.v_mps *= draws.even(1.1, 1.4);
    ball.v_mps.z() += 1;
    return Misfeed::kLong;
  }
  ball.v_mps *= draws.even(0.02, 0.15);
  return Misfeed::kDropped;
}

// Where the ball would cross the sample's plane, wide as it may be; nothing
// without a sample.
void read_contact(const World& world, const BallEvent& bounce, TrueFeed& feed) {
  if (!world.sample.present) return;
  World open = world;
  open.catch_x_m = 1e9;
  open.sample.present = false;
  const BallPath path = trace_ball(open, bounce.after, bounce.t_s, 1.5);
  for (const BallEvent& event : path.events()) {
    if (event.kind != BallEventKind::kSamplePlane) return;
    if (event.before.x_m.z() < world.ball.radius_m) return;
    feed.contact = true;
    feed.t_contact_s = event.t_s;
    feed.contact_m = event.before.x_m;
    return;
  }
}

void read_truth(const World& world, WorldBall& ball) {
  TrueFeed& feed = ball.truth;
  for (const BallEvent& event : ball.path.events()) {
    if (event.kind == BallEventKind::kSamplePlane) continue;
    if (std::isnan(ball.t_first_touch_s)) {
      ball.t_first_touch_s = event.t_s;
      if (event.kind != BallEventKind::kTable ||
          event.before.x_m.x() < world.surface.net.x_m) {
        continue;
      }
      feed.bounced = true;
      feed.t_bounce_s = event.t_s;
      feed.bounce_m = event.before.x_m;
      feed.v_in_mps = event.before.v_mps;
      feed.v_out_mps = event.after.v_mps;
      read_contact(world, event, feed);
    } else {
      ball.t_second_touch_s = event.t_s;
      feed.hit_sample = feed.bounced && event.kind == BallEventKind::kSample;
      if (feed.hit_sample) feed.v_return_mps = event.after.v_mps;
      return;
    }
  }
}

}  // namespace

std::string_view word(Misfeed misfeed) {
  switch (misfeed) {
    case Misfeed::kShort:
      return "short";
    case Misfeed::kLong:
      return "long";
    case Misfeed::kDropped:
      return "dropped";
    case Misfeed::kNone:
      break;
  }
  return "feed";
}

std::vector<WorldBall> throw_balls(const RandomWorld& world) {
  World place = world_of(world.scene);
  place.catch_x_m = world.catch_x_m;
  Draws draws(world.seed, "world misfeeds");
  std::vector<WorldBall> balls;
  for (const Launch& launch : launches(world.scene.launcher, world.seed)) {
    WorldBall ball;
    MovingBall start = launch.state;
    if (launch.misfeed) ball.misfeed = fail(start, draws);
    const World own = with_fed_ball(place, world.seed, balls.size());
    ball.path = trace_ball(own, start, launch.t_s, kLife_s);
    ball.truth.t_launch_s = launch.t_s;
    ball.truth.launch_m = start.x_m;
    ball.truth.v_launch_mps = start.v_mps;
    read_truth(own, ball);
    balls.push_back(std::move(ball));
    balls.back().truth.number = static_cast<int>(balls.size());
  }
  for (TrueBall& stray : stray_balls(world.scene, world.seed)) {
    WorldBall ball;
    ball.path = std::move(stray.path);
    ball.feed = false;
    balls.push_back(std::move(ball));
  }
  return balls;
}

}  // namespace evenfeed
