// SPDX-License-Identifier: MIT
#include "simulate/true_feeds.h"

#include "simulate/fed_ball.h"
#include "simulate/launcher_process.h"
#include "simulate/strays.h"

namespace evenfeed {
namespace {

constexpr double kFeedLife_s = 6;
// Before it leaves, the ball runs straight through the launcher's tube.
constexpr double kInTube_s = 0.02;

void read_bounce(const Scene& scene, const BallEvent& event, TrueFeed& feed) {
  feed.bounced = true;
  feed.t_bounce_s = event.t_s;
  feed.bounce_m = event.before.x_m;
  feed.v_in_mps = event.before.v_mps;
  feed.v_out_mps = event.after.v_mps;
  const CameraModel& camera = scene.camera.model;
  const auto point_px = camera.project(feed.bounce_m);
  feed.bounce_in_view = point_px && camera.in_picture(*point_px);
}

// From the contact to the first thing the ball meets then.
void read_return(const Scene& scene,
                 const BallPath& path,
                 const BallEvent& hit,
                 TrueFeed& feed) {
  feed.v_return_mps = hit.after.v_mps;
  double end_s = path.end_s();
  for (const BallEvent& event : path.events()) {
    if (event.t_s <= hit.t_s) continue;
    end_s = event.t_s;
    if (event.kind == BallEventKind::kTable) {
      feed.return_landing_m = event.before.x_m;
    }
    break;
  }
  constexpr double kStep_s = 2e-4;
  MovingBall before = hit.after;
  for (double t_s = hit.t_s + kStep_s; t_s < end_s; t_s += kStep_s) {
    const auto ball = path.at(t_s);
    if (!ball) break;
    const double over_m = ball->x_m.x() - scene.surface.net.x_m;
    const double before_m = before.x_m.x() - scene.surface.net.x_m;
    if (before_m > 0 && over_m <= 0) {
      const double part = before_m / (before_m - over_m);
      feed.t_return_net_s = t_s - (1 - part) * kStep_s;
      feed.return_net_m = before.x_m + part * (ball->x_m - before.x_m);
    }
    if (before.v_mps.z() > 0 && ball->v_mps.z() <= 0) {
      feed.return_apex_m = ball->x_m;
    }
    before = *ball;
  }
}

TrueFeed read_feed(const Scene& scene,
                   const Launch& launch,
                   const BallPath& path) {
  TrueFeed feed;
  feed.misfeed = launch.misfeed;
  feed.t_launch_s = launch.t_s;
  feed.launch_m = launch.state.x_m;
  feed.v_launch_mps = launch.state.v_mps;
  feed.spin_radps = launch.state.spin_radps;
  for (const BallEvent& event : path.events()) {
    if (event.kind == BallEventKind::kNet && !feed.bounced) {
      feed.touched_net = true;
    }
    if (event.kind == BallEventKind::kTable && !feed.bounced) {
      if (event.before.x_m.x() > scene.surface.net.x_m) {
        read_bounce(scene, event, feed);
      } else {
        feed.near_half_first = true;
      }
    }
    const bool at_plane = event.kind == BallEventKind::kSample ||
                          event.kind == BallEventKind::kSamplePlane;
    if (at_plane && feed.bounced && !feed.contact) {
      feed.contact = true;
      feed.hit_sample = event.kind == BallEventKind::kSample;
      feed.t_contact_s = event.t_s;
      feed.contact_m = event.before.x_m;
      feed.path_length_m = path.length_m(launch.t_s, event.t_s);
      if (feed.hit_sample) read_return(scene, path, event, feed);
    }
  }
  return feed;
}

std::vector<BallPath> feed_paths(const Scene& scene,
                                 const std::vector<Launch>& all,
                                 std::uint64_t seed) {
  const World world = world_of(scene);
  std::vector<BallPath> paths;
  for (const Launch& launch : all) {
    const World own = with_fed_ball(world, seed, paths.size());
    paths.push_back(trace_ball(own, launch.state, launch.t_s, kFeedLife_s)
                        .with_run_up(kInTube_s));
  }
  return paths;
}

}  // namespace

std::vector<TrueBall> true_balls(const Scene& scene, std::uint64_t seed) {
  std::vector<TrueBall> balls;
  for (BallPath& path :
       feed_paths(scene, launches(scene.launcher, seed), seed)) {
    balls.push_back(
        {static_cast<int>(balls.size()), BallKind::kFeed, std::move(path)});
  }
  for (TrueBall& stray : stray_balls(scene, seed)) {
    stray.id = static_cast<int>(balls.size());
    balls.push_back(std::move(stray));
  }
  return balls;
}

std::vector<TrueFeed> true_feeds(const Scene& scene, std::uint64_t seed) {
  const std::vector<Launch> all = launches(scene.launcher, seed);
  const std::vector<BallPath> paths = feed_paths(scene, all, seed);
  std::vector<TrueFeed> feeds;
  for (std::size_t i = 0; i < all.size(); ++i) {
    feeds.push_back(read_feed(scene, all[i], paths[i]));
    feeds.back().number = static_cast<int>(feeds.size());
  }
  return feeds;
}

}  // namespace evenfeed
