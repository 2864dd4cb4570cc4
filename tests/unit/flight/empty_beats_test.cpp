// SPDX-License-Identifier: MIT
#include "flight/empty_beats.h"

#include "flight/session_fit.h"

#include <utility>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kFps = 60;
constexpr double kInterval_s = 2;

// A row for each of `beats`, two seconds apart, with what is first seen of it.
std::vector<FoundFeed> rows_on(const std::vector<int>& beats) {
  std::vector<FoundFeed> found;
  for (const int beat : beats) {
    FoundFeed feed;
    Sighting first;
    first.t_s = kInterval_s * beat + (beat % 2 == 0 ? 0.02 : -0.02);
    feed.sightings = {first};
    found.push_back(std::move(feed));
  }
  return found;
}

// From `from_m` on, evenly, seen `count` times.
Track moving(const CameraModel& camera,
             double start_s,
             int count,
             const Eigen::Vector3d& from_m,
             const Eigen::Vector3d& v_mps) {
  Track track;
  for (int i = 0; i < count; ++i) {
    Sighting s;
    s.t_s = start_s + i / kFps;
    s.centre_px = *camera.project(from_m + v_mps * (i / kFps));
    track.sightings.push_back(s);
  }
  return track;
}

const std::vector<int> kWithoutFour{0, 1, 2, 3, 5, 6, 7, 8};
const Eigen::Vector3d kAside_m(-0.9, -0.4, 0.3);
const Eigen::Vector3d kAslant_mps(4, -1.5, 0);

std::vector<double> empty_beats_s(std::vector<double> starts_s) {
  return launcher_beat(std::move(starts_s)).empty_s;
}

int added(const std::vector<Track>& strays,
          const std::vector<int>& beats = kWithoutFour) {
  auto found = rows_on(beats);
  const int count = add_on_empty_beats(found, strays, camera_at(45), 0);
  CHECK(found.size() == beats.size() + static_cast<std::size_t>(count));
  return count;
}

}  // namespace

TEST_CASE("beats that are left out are told, not a pause") {
  CHECK(empty_beats_s({0, 2, 4, 6, 10, 12, 14}) == std::vector<double>{8});
  const auto two = empty_beats_s({14, 12, 10, 4.02, 2.01, 0, 16, 18});
  REQUIRE(two.size() == 2);
  CHECK(two[0] == doctest::Approx(6.01).epsilon(0.001));
  CHECK(two[1] == doctest::Approx(8.01).epsilon(0.001));
  CHECK(empty_beats_s({0, 2, 4, 6, 8, 18, 20, 22}).empty());
}

TEST_CASE("who does not keep time leaves no beat out") {
  CHECK(empty_beats_s({0, 1.2, 4, 6.9, 7.7, 12.1, 13, 17.5}).empty());
  CHECK(empty_beats_s({0, 1.5, 3.5, 6.1, 8.1, 9.5, 13.5, 16.1, 17.6}).empty());
  CHECK(empty_beats_s({0, 2, 4, 8, 10}).empty());  // too few to tell
  CHECK(empty_beats_s({0, 2, 4, 6, 9.2, 11.2, 13.2, 15.2}).empty());
  CHECK(empty_beats_s({}).empty());
}

TEST_CASE("what flies when a launch was due is a row, from wherever it comes") {
  const CameraModel camera = camera_at(45);
  auto found = rows_on(kWithoutFour);
  const Track aslant = moving(camera, 8.3, 20, kAside_m, kAslant_mps);
  const Track shorter = moving(camera, 8.1, 8, kAside_m, kAslant_mps);
  CHECK(add_on_empty_beats(found, {shorter, aslant}, camera, 0) == 1);
  REQUIRE(found.size() == 9);
  CHECK(found[8].sightings.size() == 20);
  CHECK_FALSE(found[8].fit.ok());
  CHECK(found[8].fit.message == "lost before its bounce");
}

TEST_CASE("what comes off the beat, or where none is empty, is no row") {
  const CameraModel camera = camera_at(45);
  CHECK(added({moving(camera, 7.6, 20, kAside_m, kAslant_mps)}) == 0);
  CHECK(added({moving(camera, 9.4, 20, kAside_m, kAslant_mps)}) == 0);
  CHECK(added({moving(camera, 8.1, 3, kAside_m, 9 * kAslant_mps)}) == 0);
  CHECK(added({moving(camera, 8.1, 20, kAside_m, kAslant_mps)},
              {0, 1, 2, 3, 4, 5, 6, 7, 8}) == 0);
}

// A ball that rolls before the launcher is there when a launch is due, too; one
// that is thrown across it flies.
TEST_CASE(
    "what begins where another track has just ended must fly, or come from the "
    "mouth") {
  const CameraModel camera = camera_at(45);
  const Eigen::Vector3d slow_mps(0.3, 0.2, 0);
  const Track before = moving(camera, 7.7, 20, kAside_m, slow_mps);
  const Eigen::Vector3d there_m = kAside_m + slow_mps / 3;
  CHECK(added({before, moving(camera, 8.1, 20, there_m, slow_mps)}) == 0);
  CHECK(added({before, moving(camera, 8.1, 20, there_m, kAslant_mps)}) == 1);
  const Track rolls = moving(camera, 8.1, 20, there_m, slow_mps);
  CHECK(added({rolls}) == 1);
  auto found = rows_on(kWithoutFour);
  const Track flies = moving(camera, 8.1, 12, kAside_m, kAslant_mps);
  CHECK(add_on_empty_beats(found, {flies, rolls}, camera, 0) == 1);
  REQUIRE(found.size() == 9);
  CHECK(found[8].sightings.size() == 12);
}

// At 25 pictures a second a ball that falls towards the camera is seen four
// times; so are specks, but they leap.
TEST_CASE("what is seen four times must move evenly") {
  const CameraModel camera = camera_at(45);
  Track few = moving(camera, 8.1, 4, kAside_m, {0.3, 0.2, -1});
  CHECK(added({few}) == 1);
  few.sightings[1].centre_px.x() += 60;
  few.sightings[2].centre_px.x() -= 60;
  CHECK(added({few}) == 0);
  CHECK(added({moving(camera, 8.1, 3, kAside_m, {0.3, 0.2, -1})}) == 0);
}

// What a return's ball does next is the return's.
TEST_CASE("what begins where a return has just ended must fly, too") {
  const CameraModel camera = camera_at(45);
  const Eigen::Vector3d slow_mps(0.3, 0.2, 0);
  const Track rolls = moving(camera, 8.1, 20, kAside_m, slow_mps);
  auto found = rows_on(kWithoutFour);
  found[3].returned = {moving(camera, 7.7, 20, kAside_m, {0, 0, 0})};
  CHECK(add_on_empty_beats(found, {rolls}, camera, 0) == 0);
}

TEST_CASE("a session numbers the launch of an empty beat in its place") {
  const CameraModel camera = camera_at(45);
  Bench bench;
  bench.camera = camera;
  std::vector<FoundFeed> found;
  for (const int beat : kWithoutFour) {
    RandomEngine random = derived_engine(1, "empty beats", beat);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += kInterval_s * beat;
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, kFps, 0.2, random);
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    REQUIRE(feed.whole());
    found.push_back(std::move(feed));
  }
  const Track aslant = moving(camera, 8.7, 20, kAside_m, kAslant_mps);
  for (const bool together : {true, false}) {
    CAPTURE(together);
    SessionFitOptions asked;
    asked.adjust_jointly = together;
    const SessionFit session =
        fit_session(found, bench, FlightOptions{}, {}, asked, {aslant});
    CHECK(session.lost_launches == 1);
    REQUIRE(session.feeds.size() == 9);
    for (std::size_t i = 0; i < 9; ++i) {
      CAPTURE(i);
      CHECK(session.feeds[i].number == static_cast<int>(i) + 1);
      CHECK((session.feeds[i].status == FeedStatus::kMeasured) == (i != 4));
    }
  }
}
