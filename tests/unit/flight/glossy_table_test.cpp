// SPDX-License-Identifier: MIT
#include "flight/glossy_table.h"

#include <algorithm>
#include <functional>

#include "flight_bench.h"
#include <Eigen/Geometry>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Frame {
  double t_s;
  std::vector<Sighting> balls, others;

  std::vector<Sighting> all() const {
    std::vector<Sighting> both = others;
    both.insert(both.end(), balls.begin(), balls.end());
    return both;
  }
};

// What else is seen of a ball in a picture.
using Beside = std::function<std::vector<Sighting>(
    const FlightVector&, const Sighting&, RandomEngine&)>;

// `feeds` of them, one each 1.5 s.
std::vector<Frame> session(const CameraModel& camera,
                           double fps,
                           int feeds,
                           const Beside& beside) {
  std::vector<Frame> frames;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(3, "glossy table", i);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] = 1.0 + 1.5 * i;
    for (const Sighting& s : sightings_of(p, camera, fps, 0.2, random)) {
      frames.push_back({s.t_s, {s}, beside(p, s, random)});
    }
  }
  return frames;
}

// Its image, in `share` of the pictures.
Beside image_in(const CameraModel& camera, double share) {
  return [&camera, share](const FlightVector& p,
                          const Sighting& ball,
                          RandomEngine& random) -> std::vector<Sighting> {
    if (std::uniform_real_distribution<>(0, 1)(random) > share) return {};
    Sighting image = images_of(p, camera, {ball})[0];
    std::normal_distribution<double> noise(0, 0.2);
    image.centre_px += Eigen::Vector2d(noise(random), noise(random));
    return {image};
  };
}

// Another ball, or what is no ball, at `place(t)` from the bounce.
Beside beside_at(const CameraModel& camera,
                 const std::function<Eigen::Vector3d(double)>& place) {
  return [&camera, place](const FlightVector& p,
                          const Sighting& ball,
                          RandomEngine&) -> std::vector<Sighting> {
    Sighting other = ball;
    const auto at_px = camera.project(place(ball.t_s - p[kTimeOfBounce]));
    if (!at_px) return {};
    other.centre_px = *at_px;
    return {other};
  };
}

bool seen_glossy(const CameraModel& camera, const std::vector<Frame>& frames) {
  GlossyTable table(camera, whole_table());
  for (const Frame& frame : frames) table.add_frame(frame.t_s, frame.all());
  return table.known();
}

}  // namespace

TEST_CASE("a glossy table is known by its images, and they are left out") {
  for (const double fps : {25., 60., 120.}) {
    for (const double side_deg : {20., 45., 65.}) {
      CAPTURE(fps);
      CAPTURE(side_deg);
      const CameraModel camera = camera_at(side_deg);
      const auto frames = session(camera, fps, 8, image_in(camera, 0.7));
      GlossyTable table(camera, whole_table());
      double known_s = 1e9;
      for (const Frame& frame : frames) {
        table.add_frame(frame.t_s, frame.all());
        if (table.known()) known_s = std::min(known_s, frame.t_s);
      }
      CHECK(known_s < 11);
      int images = 0, left = 0;
      for (const Frame& frame : frames) {
        const std::vector<Sighting> kept = table.without_images(frame.all());
        const auto is_kept = [&](const Sighting& s) {
          return std::any_of(kept.begin(), kept.end(), [&](const Sighting& k) {
            return k.centre_px == s.centre_px;
          });
        };
        CHECK(is_kept(frame.balls[0]));
        for (const Sighting& image : frame.others) {
          // Where both touch they are one.
          const double apart_px =
              (image.centre_px - frame.balls[0].centre_px).norm();
          if (apart_px < 12) continue;
          ++images;
          left += is_kept(image);
        }
      }
      CHECK(images > 20);
      CHECK(left <= 0.02 * images);
    }
  }
}

// The places of the table's corners are known to some millimetres.
TEST_CASE("a camera that is known roughly leaves images out as well") {
  const CameraModel camera = camera_at(45);
  const auto frames = session(camera, 60, 8, image_in(camera, 1));
  CameraModel told = camera;
  told.camera_from_table.rotation =
      told.camera_from_table.rotation *
      Eigen::AngleAxisd(0.008, Eigen::Vector3d::UnitY()).toRotationMatrix();
  GlossyTable table(told, whole_table());
  for (const Frame& frame : frames) table.add_frame(frame.t_s, frame.all());
  REQUIRE(table.known());
  int left = 0;
  for (const Frame& frame : frames) {
    left += static_cast<int>(table.without_images(frame.all()).size()) - 1;
  }
  CHECK(left < 0.15 * static_cast<double>(frames.size()));
}

TEST_CASE("few images tell it later") {
  const CameraModel camera = camera_at(45);
  const auto frames = session(camera, 25, 30, image_in(camera, 0.35));
  CHECK(seen_glossy(camera, frames));
}

// From behind the end, and from straight above along the table, all balls lie
// where an image may lie. They fall alike.
TEST_CASE("two balls, and what does not fall, make no table glossy") {
  CameraModel behind;
  behind.width_px = 1920;
  behind.height_px = 1080;
  behind.lens = {1000, 959.5, 539.5, -0.05, 0};
  behind.camera_from_table =
      look_at({3.4, 0.07, 1.5}, {0.3, 0.05, 0}, {0, 0, 1});
  for (const CameraModel& camera : {behind, camera_at(0), camera_at(45)}) {
    const auto glossy = [&](const Beside& beside) {
      return seen_glossy(camera, session(camera, 60, 20, beside));
    };
    for (const double later_s : {0.05, 0.1, 0.3, -0.08}) {
      CAPTURE(later_s);
      CHECK_FALSE(glossy(beside_at(camera, [&](double t_s) -> Eigen::Vector3d {
        FlightVector p = usual_flight();
        p[kTimeOfBounce] = later_s;
        return flight_state(p, FlightOptions{}, t_s).x_m;
      })));
    }
    // One that comes back, one that rolls, one that lies.
    CHECK_FALSE(glossy(beside_at(camera, [](double t_s) -> Eigen::Vector3d {
      return {0.9 - 3 * t_s, 0.06, 0.3 - 4.9 * t_s * t_s};
    })));
    for (const double rolls_mps : {4., 2., 0.7, -1.}) {
      CAPTURE(rolls_mps);
      CHECK_FALSE(glossy(beside_at(camera, [&](double t_s) -> Eigen::Vector3d {
        return {0.7 + rolls_mps * t_s, 0.05, 0.02};
      })));
    }
    CHECK_FALSE(glossy(beside_at(camera, [](double) -> Eigen::Vector3d {
      return {0.5, 0.05, 0.02};
    })));
    // An image of one that glides.
    const auto gliding = [&](double z_m) {
      return beside_at(camera, [z_m](double t_s) -> Eigen::Vector3d {
        return {0.7 + 4 * t_s, 0.05, z_m};
      });
    };
    CHECK_FALSE(glossy(
        [&](const FlightVector& p, const Sighting& ball, RandomEngine& random) {
          std::vector<Sighting> both = gliding(0.3)(p, ball, random);
          both.push_back(gliding(-0.3)(p, ball, random)[0]);
          return both;
        }));
  }
}

TEST_CASE("specks make no table glossy") {
  const CameraModel camera = camera_at(45);
  const Beside specks =
      [](const FlightVector&, const Sighting& ball, RandomEngine& random) {
        std::uniform_real_distribution<double> u(0, 1919), v(0, 1079);
        std::vector<Sighting> all(6, ball);
        for (Sighting& s : all) s.centre_px = {u(random), v(random)};
        return all;
      };
  CHECK_FALSE(seen_glossy(camera, session(camera, 60, 100, specks)));
}

// Pairs are many: what is no ball but the light is not looked through.
TEST_CASE("a picture full of specks is left as it is") {
  const CameraModel camera = camera_at(45);
  const auto frames = session(camera, 60, 8, image_in(camera, 1));
  GlossyTable table(camera, whole_table());
  for (const Frame& frame : frames) table.add_frame(frame.t_s, frame.all());
  REQUIRE(table.known());
  std::vector<Sighting> seen = frames[5].all();
  REQUIRE(table.without_images(seen).size() == 1);
  seen.resize(41, seen[0]);
  CHECK(table.without_images(seen).size() == 41);
}
