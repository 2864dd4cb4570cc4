// SPDX-License-Identifier: MIT
#include "pipeline/steady_frames.h"

#include "unit/pipeline/pushed_camera.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

FrameSightings seen(double t_s,
                    const CameraModel& camera,
                    const Eigen::Vector3d& ball_m) {
  FrameSightings frame;
  frame.t_s = t_s;
  Sighting s;
  s.centre_px = *camera.project(ball_m);
  s.streak_px = *camera.project(ball_m + Eigen::Vector3d(0.01, 0, 0)) -
                *camera.project(ball_m - Eigen::Vector3d(0.01, 0, 0));
  frame.sightings.push_back(s);
  return frame;
}

WatchNews all_settled() {
  WatchNews news;
  news.settled_until_s = std::numeric_limits<double>::infinity();
  return news;
}

// Sightings handed on of a film in which one ball flies and one thing stays
// where it is, both in every frame from 9 to 18 s; the camera is pushed at 10.
int handed_on(double push_m) {
  SteadyFrames steady(calibrated(), 0.02, 3);
  for (int i = 0; i < 180; ++i) {
    const double t_s = 9 + 0.05 * i;
    FrameSightings frame =
        seen(t_s, calibrated(), {-1.3 + 0.1 * (i % 26), 0.1, 0.02});
    Sighting ghost;
    ghost.centre_px = {300 + i % 2, 200};
    frame.sightings.push_back(ghost);
    steady.add(std::move(frame));
  }
  WatchNews news = all_settled();
  news.stances = steps({10}, {push_m});
  steady.finish(news);
  int count = 0;
  while (const auto frame = steady.next()) {
    count += static_cast<int>(frame->sightings.size());
  }
  return count;
}

}  // namespace

TEST_CASE("frames wait until they are settled and keep their order") {
  SteadyFrames steady(calibrated(), 0.02, 3);
  const Eigen::Vector3d ball_m(0.7, 0.1, 0.02);
  for (int i = 0; i < 6; ++i) {
    FrameSightings frame =
        seen(i, i < 3 ? calibrated() : pushed(0.001), ball_m);
    frame.index = i;
    frame.news.settled_until_s = i - 2;
    if (i == 5) frame.news.stances = steps({2.5}, {0.001});
    steady.add(std::move(frame));
  }
  const Eigen::Vector2d where_px = *calibrated().project(ball_m);
  int next = 0;
  while (const auto frame = steady.next()) {
    CHECK(frame->index == next++);
    CHECK(frame->sightings[0].centre_px == where_px);
  }
  CHECK(next == 3);
  steady.finish(all_settled());
  while (const auto frame = steady.next()) {
    CHECK(frame->index == next++);
    const Sighting& s = frame->sightings[0];
    CHECK((s.centre_px - where_px).norm() < 1e-6);
    CHECK((s.streak_px - seen(0, calibrated(), ball_m).sightings[0].streak_px)
              .norm() < 0.01);
  }
  CHECK(next == 6);
  CHECK(steady.stances().size() == 1);
}

TEST_CASE("what stays in one place after a knock is no ball") {
  CHECK(handed_on(0.0005) == 360);
  // From 9.7 to 13.3 s: 71 or 72 frames without the thing that stays.
  const int left = handed_on(0.005);
  CHECK(left >= 360 - 72);
  CHECK(left <= 360 - 71);
}
