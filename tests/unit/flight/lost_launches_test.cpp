// SPDX-License-Identifier: MIT
#include "flight/lost_launches.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kFps = 60;

Track track_of(const CameraModel& camera,
               const std::vector<Eigen::Vector3d>& places_m,
               double start_s) {
  Track track;
  for (std::size_t i = 0; i < places_m.size(); ++i) {
    Sighting s;
    s.t_s = start_s + static_cast<double>(i) / kFps;
    s.centre_px = *camera.project(places_m[i]);
    track.sightings.push_back(s);
  }
  return track;
}

// Feeds of one launcher, two seconds apart.
std::vector<FoundFeed> session(const CameraModel& camera, int feeds) {
  std::vector<FoundFeed> found;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(1, "lost launches", i);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += 2 * i;
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, kFps, 0.2, random);
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    REQUIRE(feed.whole());
    found.push_back(std::move(feed));
  }
  return found;
}

Eigen::Vector3d mouth_m() {
  return flight_state(usual_flight(), FlightOptions{}, 0.607).x_m;
}

// Where a ball is that leaves the mouth at v, picture by picture.
std::vector<Eigen::Vector3d> thrown_short(const Eigen::Vector3d& v_mps,
                                          int pictures) {
  std::vector<Eigen::Vector3d> places;
  for (int i = 0; i < pictures; ++i) {
    const double t_s = i / kFps;
    places.emplace_back(mouth_m() + v_mps * t_s +
                        Eigen::Vector3d(0, 0, -kGravity_mps2 * t_s * t_s / 2));
  }
  return places;
}

FlightFit no_flight() {
  FlightFit fit;
  fit.status = FitStatus::kPoorFit;
  return fit;
}

// A flight that was seen so often before and after its bounce.
FlightFit seen(int before, int after) {
  FlightFit fit;
  fit.status = FitStatus::kOk;
  fit.parameters = usual_flight();
  fit.before = before;
  fit.after = after;
  return fit;
}

// How many of nine rows stay: a session's feeds, two seconds apart, and a piece
// with its flight.
std::size_t left_with(const CameraModel& camera,
                      const Track& piece,
                      const FlightFit& fit) {
  auto found = session(camera, 8);
  FoundFeed odd;
  odd.sightings = piece.sightings;
  odd.fit = fit;
  found.push_back(odd);
  const int dropped =
      drop_what_was_not_launched(found, camera, FlightOptions{}, 0, 6);
  CHECK(found.size() + dropped == 9);
  return found.size();
}

}  // namespace

TEST_CASE("launches that make no feed become rows that say why") {
  const CameraModel camera = camera_at(45);
  auto found = session(camera, 8);
  FlightVector netted = usual_flight();
  netted[kTimeOfBounce] = 101;
  RandomEngine random = derived_engine(1, "lost launches, net");
  Track net{sightings_of(netted, camera, kFps, 0.2, random)};
  std::erase_if(net.sightings,
                [](const Sighting& s) { return s.t_s > 100.88; });
  const Track drop = track_of(camera, thrown_short({0.3, 0, 0}, 9), 110);
  const int added =
      add_lost_launches(found, {net, drop}, camera, FlightOptions{}, 0);
  CHECK(added == 2);
  REQUIRE(found.size() == 10);
  CHECK(found[8].fit.message == "stopped at the net");
  CHECK(found[9].fit.message == "dropped at the launcher");
  CHECK_FALSE(found[8].fit.ok());
}

TEST_CASE("what does not leave the mouth as a ball does is no launch") {
  const CameraModel camera = camera_at(45);
  auto found = session(camera, 8);
  std::vector<Eigen::Vector3d> arm;  // reaches in and out again
  for (int i = 0; i < 12; ++i) {
    arm.emplace_back(mouth_m() +
                     Eigen::Vector3d(0.4 * std::sin(0.6 * i), 0.02 * i, 0));
  }
  auto elsewhere = thrown_short({4, 0, 1}, 12);
  for (Eigen::Vector3d& place : elsewhere) place.y() -= 0.5;
  const Track again{found[0].sightings};  // a feed that is told already
  const int added = add_lost_launches(
      found,
      {track_of(camera, arm, 100), track_of(camera, elsewhere, 110), again},
      camera,
      FlightOptions{},
      0);
  CHECK(added == 0);
  CHECK(found.size() == 8);
}

TEST_CASE("where the mouth is not known nothing is added") {
  const CameraModel camera = camera_at(45);
  auto found = session(camera, 4);
  const Track drop = track_of(camera, thrown_short({0.3, 0, 0}, 9), 110);
  CHECK(add_lost_launches(found, {drop}, camera, FlightOptions{}, 0) == 0);
}

TEST_CASE("a ball that jumps on before the launcher is one launch") {
  const CameraModel camera = camera_at(45);
  auto found = session(camera, 8);
  const Track drop = track_of(camera, thrown_short({0.3, 0, 0}, 9), 110);
  const Track jumps_on = track_of(camera, thrown_short({0.4, 0, 0}, 9), 110.25);
  CHECK(add_lost_launches(
            found, {drop, jumps_on}, camera, FlightOptions{}, 0) == 1);
  const Track later = track_of(camera, thrown_short({0.4, 0, 0}, 9), 112);
  found = session(camera, 8);
  CHECK(add_lost_launches(found, {drop, later}, camera, FlightOptions{}, 0) ==
        2);
}

TEST_CASE("short pieces beyond the net that nothing explains are no feeds") {
  const CameraModel camera = camera_at(45);
  const auto left = [&](const std::vector<Eigen::Vector3d>& places) {
    return left_with(camera, track_of(camera, places, 110), no_flight());
  };
  const auto from = [](double x_m, int pictures) {
    std::vector<Eigen::Vector3d> places;
    for (int i = 0; i < pictures; ++i) {
      places.emplace_back(x_m + 0.06 * i, 0.2, 0.15);
    }
    return places;
  };
  CHECK(left(from(0.5, 5)) == 8);
  CHECK(left(from(-0.6, 3)) == 8);  // nothing could be fitted to it
  CHECK(left(from(0.5, 12)) == 9);  // long enough to be told
  CHECK(left(from(-0.6, 5)) == 9);  // before the net
  CHECK(left(thrown_short({4, 0, 1}, 5)) == 9);
}

TEST_CASE("specks that a track was led along faster than feeds are no launch") {
  const CameraModel camera = camera_at(45);
  const auto left = [&](double step_m) {
    std::vector<Eigen::Vector3d> places;
    for (int i = 0; i < 4; ++i) {
      places.emplace_back(-0.9 + step_m * i, 0.2, 0.15);
    }
    return left_with(camera, track_of(camera, places, 110), no_flight());
  };
  CHECK(left(5. / kFps) == 9);
  CHECK(left(15. / kFps) == 8);
  // At the mouth too, where a ball may be twice as fast as it lands.
  const auto thrown = [&](double speed_mps) {
    return left_with(camera,
                     track_of(camera, thrown_short({speed_mps, 0, 1}, 4), 110),
                     no_flight());
  };
  CHECK(thrown(9) == 9);
  CHECK(thrown(30) == 8);
}

TEST_CASE("what goes on after a feed, before the next is due, is its ball") {
  const CameraModel camera = camera_at(45);
  const auto left = [&](double start_s) {
    return left_with(camera,
                     track_of(camera, thrown_short({3, 0, 1}, 12), start_s),
                     no_flight());
  };
  CHECK(left(5.4) == 8);
  CHECK(left(5.0) == 9);  // thrown while the other was still in the air
  CHECK(left(6.5) == 9);  // nearly two seconds later
}

// What the sample sent up comes down on the table again, and from straight
// above its flight looks like a feed's behind a bounce that was not seen.
TEST_CASE(
    "what comes down after a feed, seen behind a bounce only, is its ball") {
  const CameraModel camera = camera_at(45);
  const Eigen::Vector3d beyond(1.2, -0.3, 0.2);
  const auto left = [&](const Eigen::Vector3d& first_m,
                        double start_s,
                        const FlightFit& fit) {
    std::vector<Eigen::Vector3d> places;
    for (int i = 0; i < 6; ++i) {
      places.emplace_back(first_m + 0.03 * i * Eigen::Vector3d::UnitX());
    }
    return left_with(camera, track_of(camera, places, start_s), fit);
  };
  CHECK(left(beyond, 5.4, seen(0, 6)) == 8);
  CHECK(left(beyond, 5.4, seen(2, 4)) == 9);  // it was seen to come
  CHECK(left(beyond, 6.5, seen(0, 6)) == 9);  // when the next is due
  CHECK(left(mouth_m(), 5.4, seen(0, 6)) == 9);
}

TEST_CASE("a ball that rolls home to the mouth is not launched from it") {
  const CameraModel camera = camera_at(45);
  auto found = session(camera, 8);
  const Track home = track_of(camera, thrown_short({-2, 0, 1}, 9), 110);
  CHECK(add_lost_launches(found, {home}, camera, FlightOptions{}, 0) == 0);
}

// Seen from behind the launcher, what falls comes nearer, as a return does.
TEST_CASE("a drop that looked like another feed's return is a launch") {
  const CameraModel camera = camera_at(45);
  const Track drop = track_of(camera, thrown_short({0.1, 0, 0}, 12), 8.4);
  const Track comes_back =
      track_of(camera, thrown_short({-2, 0.2, 0.5}, 12), 5.2);
  const Track too_soon = track_of(camera, thrown_short({0.1, 0, 0}, 12), 9.9);
  auto found = session(camera, 8);
  found[2].returned = {comes_back};
  found[3].returned = {drop};
  found[4].returned = {too_soon};
  CHECK(add_lost_launches(found, {}, camera, FlightOptions{}, 0) == 1);
  REQUIRE(found.size() == 9);
  CHECK(found[2].returned.size() == 1);
  CHECK(found[4].returned.size() == 1);
  CHECK(found[3].returned.empty());
  CHECK(found[8].sightings.front().t_s == 8.4);
  CHECK(found[8].fit.message == "dropped at the launcher");
}

TEST_CASE("a drop that is followed late has fallen, but not a metre") {
  const CameraModel camera = camera_at(45);
  const auto fallen = [&](double fallen_s) {
    const int late = static_cast<int>(std::lround(fallen_s * kFps));
    auto places = thrown_short({0.1, 0, 0}, late + 9);
    places.erase(places.begin(), places.begin() + late);
    auto found = session(camera, 8);
    return add_lost_launches(
        found, {track_of(camera, places, 110)}, camera, FlightOptions{}, 0);
  };
  CHECK(fallen(0.25) == 1);
  CHECK(fallen(0.45) == 0);
}
