// SPDX-License-Identifier: MIT
#include "simulate/true_feeds.h"

#include "simulate/fed_ball.h"
#include "simulate/strays.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("feeds land on the receiving half and reach the sample's plane") {
  const Scene scene = shipped_scene("overhead720p60");
  const auto feeds = true_feeds(scene, 1);
  REQUIRE(feeds.size() == 40);
  int number = 0;
  for (const TrueFeed& feed : feeds) {
    CHECK(feed.number == ++number);
    CHECK(feed.bounced);
    CHECK(feed.bounce_in_view);
    CHECK_FALSE(feed.touched_net);
    CHECK_FALSE(feed.near_half_first);
    CHECK(feed.contact);
    CHECK_FALSE(feed.hit_sample);
    CHECK(feed.t_launch_s < feed.t_bounce_s);
    CHECK(feed.t_bounce_s < feed.t_contact_s);
    CHECK(feed.bounce_m.x() > 0.4);
    CHECK(feed.bounce_m.x() < 1.0);
    CHECK(std::abs(feed.bounce_m.z() - scene.ball.radius_m) < 1e-9);
    CHECK(feed.contact_m.x() ==
          doctest::Approx(scene.sample.x_m - scene.ball.radius_m));
    const double straight = (feed.bounce_m - feed.launch_m).norm() +
                            (feed.contact_m - feed.bounce_m).norm();
    CHECK(feed.path_length_m > straight);
    CHECK(feed.path_length_m < 1.15 * straight);
  }
}

TEST_CASE("a clamped sample is hit and a weak feed is flagged") {
  const Scene returns = shipped_scene("overhead1080p25");
  int hits = 0;
  for (const TrueFeed& feed : true_feeds(returns, 1)) {
    hits += feed.hit_sample;
    CHECK(feed.v_return_mps.x() < 0);
    CHECK(feed.v_return_mps.norm() < feed.v_out_mps.norm());
    CHECK(feed.return_apex_m.z() > feed.contact_m.z());
    CHECK(feed.return_apex_m.z() > feed.return_net_m.z());
    CHECK(feed.return_net_m.x() == doctest::Approx(0).epsilon(1e-6));
    CHECK(feed.t_return_net_s > feed.t_contact_s);
    CHECK(feed.return_landing_m.z() == doctest::Approx(returns.ball.radius_m));
    CHECK(feed.return_landing_m.x() < 0);
  }
  CHECK(hits == 24);
  for (const TrueFeed& feed : true_feeds(shipped_scene("overhead720p60"), 1)) {
    CHECK(std::isnan(feed.v_return_mps.x()));
    CHECK(std::isnan(feed.return_landing_m.x()));
  }
  Scene weak = shipped_scene("short640p60");
  weak.launcher.misfeeds = {2};
  weak.launcher.misfeed_speed_factor = 0.5;
  const auto feeds = true_feeds(weak, 1);
  REQUIRE(feeds.size() == 4);
  CHECK(feeds[1].misfeed);
  CHECK(feeds[1].near_half_first);
  CHECK_FALSE(feeds[0].near_half_first);
}

TEST_CASE("strays come after the feeds and never look like one") {
  const Scene scene = shipped_scene("nuisance720p60");
  const auto balls = true_balls(scene, 1);
  REQUIRE(balls.size() == 24u + 6u + 8u);
  for (std::size_t i = 0; i < balls.size(); ++i) {
    CHECK(balls[i].id == static_cast<int>(i));
    CHECK((balls[i].kind == BallKind::kFeed) == (i < 24));
  }
  int on_table = 0;
  for (const TrueBall& ball : balls) {
    if (ball.kind != BallKind::kTableStray) continue;
    for (const BallEvent& event : ball.path.events()) {
      on_table += event.kind == BallEventKind::kTable;
    }
  }
  CHECK(on_table >= 6);
}

TEST_CASE("a bounce outside the picture is known to be") {
  Scene scene = shipped_scene("half720p120");
  scene.launcher.speed_mps.mean = 3.0;
  scene.surface.net.present = false;
  int out = 0;
  for (const TrueFeed& feed : true_feeds(scene, 1)) {
    out += feed.bounced && !feed.bounce_in_view;
  }
  scene.launcher.speed_mps.mean = 6.45;
  int in = 0;
  for (const TrueFeed& feed : true_feeds(scene, 1)) in += feed.bounce_in_view;
  CHECK(in == 12);
  CHECK(out <= 12);
}

TEST_CASE("balls of a session differ by as much as the scene says") {
  Scene scene = shipped_scene("overhead720p60");
  scene.launcher.feeds = 120;
  const World world = world_of(scene);
  scene.ball.drag_share_sd = 0.02;
  scene.ball.restitution_sd = 0.01;
  const World apart = world_of(scene);
  double drag = 0;
  double bounce = 0;
  for (std::size_t feed = 0; feed < 120; ++feed) {
    CHECK(with_fed_ball(world, 1, feed).ball.drag_coefficient ==
          scene.ball.drag_coefficient);
    const BallPhysics own = with_fed_ball(apart, 1, feed).ball;
    drag += std::pow(own.drag_coefficient / scene.ball.drag_coefficient - 1, 2);
    bounce += std::pow(own.restitution - scene.ball.restitution, 2);
  }
  CHECK(std::sqrt(drag / 120) == doctest::Approx(0.02).epsilon(0.005));
  CHECK(std::sqrt(bounce / 120) == doctest::Approx(0.01).epsilon(0.003));
}

TEST_CASE("feeds are flown with the balls that differ") {
  Scene scene = shipped_scene("overhead720p60");
  const auto alike = true_feeds(scene, 1);
  scene.ball.drag_share_sd = 0.02;
  const auto apart = true_feeds(scene, 1);
  REQUIRE(apart.size() == alike.size());
  double squares = 0;
  for (std::size_t i = 0; i < alike.size(); ++i) {
    CHECK(apart[i].v_launch_mps == alike[i].v_launch_mps);
    squares +=
        std::pow(apart[i].v_in_mps.norm() / alike[i].v_in_mps.norm() - 1, 2);
  }
  const double rms = std::sqrt(squares / static_cast<double>(alike.size()));
  // Drag takes about a sixth of the speed on the way to the bounce.
  CHECK(rms > 0.001);
  CHECK(rms < 0.01);
}
