// SPDX-License-Identifier: MIT
#include "flight/feed_finder.h"

#include "flight/return_fit.h"
#include "flight/session_fit.h"
#include "flight/track_builder.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// A ball that rolls along the table at an even speed.
std::vector<Sighting> rolling(const CameraModel& camera,
                              double from_x_m,
                              double speed_mps,
                              double start_s) {
  std::vector<Sighting> all;
  for (int i = 0; i < 40; ++i) {
    Sighting s;
    s.t_s = start_s + i / 60.0;
    s.centre_px = *camera.project({from_x_m + speed_mps * i / 60.0, 0.3, 0.02});
    s.sigma_px = 0.2;
    all.push_back(s);
  }
  return all;
}

struct Found {
  std::vector<FoundFeed> feeds;
  TrackCounts counts;
  std::vector<Track> strays;
};

Found find(std::vector<Sighting> sightings, const CameraModel& camera) {
  std::stable_sort(sightings.begin(), sightings.end(), [](auto& a, auto& b) {
    return a.t_s < b.t_s;
  });
  const Surface surface = whole_table();
  const FlightOptions flight;
  TrackBuilder tracks{TrackOptions{}};
  FeedFinder finder(camera, surface, flight, FinderOptions{});
  std::size_t next = 0;
  for (int frame = 0; frame < 400; ++frame) {
    const double t_s = frame / 60.0;
    std::vector<Sighting> seen;
    while (next < sightings.size() && sightings[next].t_s < t_s + 1 / 120.0) {
      seen.push_back(sightings[next++]);
    }
    finder.add(tracks.add_frame(t_s, seen));
  }
  finder.add(tracks.finish());
  Found found;
  found.feeds = finder.finish();
  found.counts = finder.counts();
  give_returns(found.feeds, finder.take_returns(), 1);
  found.strays = finder.take_strays();
  return found;
}

std::vector<Sighting> feed_at(const CameraModel& camera, double bounce_s) {
  FlightVector p = usual_flight();
  p[kTimeOfBounce] = bounce_s;
  RandomEngine random = derived_engine(1, "finder", 1);
  return sightings_of(p, camera, 60, 0.2, random);
}

}  // namespace

TEST_CASE("two feeds are two feeds; balls that roll are strays") {
  const CameraModel camera = camera_at(20);
  auto all = feed_at(camera, 1.0);
  const auto second = feed_at(camera, 2.5);
  all.insert(all.end(), second.begin(), second.end());
  for (const auto& stray :
       {rolling(camera, -1.0, 0.8, 1.2), rolling(camera, -1.2, 2.2, 3.5)}) {
    all.insert(all.end(), stray.begin(), stray.end());
  }
  const Found found = find(all, camera);
  REQUIRE(found.feeds.size() == 2);
  CHECK(found.counts.feeds == 2);
  CHECK(found.counts.strays == 2);
  CHECK(std::abs(found.feeds[0].fit.parameters[kTimeOfBounce] - 1.0) < 0.003);
  CHECK(std::abs(found.feeds[1].fit.parameters[kTimeOfBounce] - 2.5) < 0.003);
}

TEST_CASE("a gap in mid-flight does not make two feeds") {
  const CameraModel camera = camera_at(20);
  auto all = feed_at(camera, 1.0);
  std::erase_if(all, [](const Sighting& s) {
    return s.t_s > 0.72 && s.t_s < 0.93;  // hidden by the net
  });
  const Found found = find(all, camera);
  REQUIRE(found.feeds.size() == 1);
  CHECK(found.feeds[0].fit.ok());
  CHECK(std::abs(found.feeds[0].fit.parameters[kBounceX] - 0.70) < 0.02);
}

TEST_CASE("what rolls on for long does not hide the flight, nor make one") {
  const CameraModel camera = camera_at(75);
  auto all = feed_at(camera, 1.0);
  const Sighting last = all.back();
  for (int i = 1; i < 400; ++i) {
    Sighting s = last;
    s.t_s += i / 60.;
    s.centre_px.x() += 0.3 * i;
    all.push_back(s);
  }
  const Found found = find(all, camera);
  REQUIRE(found.feeds.size() == 1);
  CHECK(found.feeds[0].whole());
  CHECK(std::abs(found.feeds[0].fit.parameters[kBounceX] - 0.70) < 0.02);
}

namespace {

// Cut in two, as tracks: before `at_s`, and after it.
std::vector<Track> cut(const std::vector<Sighting>& all, double at_s) {
  std::vector<Track> pieces(2);
  for (const Sighting& s : all) pieces[s.t_s >= at_s].sightings.push_back(s);
  return pieces;
}

std::vector<FoundFeed> joined(const std::vector<Track>& pieces,
                              const CameraModel& camera) {
  const Surface surface = whole_table();
  const FlightOptions flight;
  FeedFinder finder(camera, surface, flight, FinderOptions{});
  finder.add(pieces);
  return finder.finish();
}

}  // namespace

// With backspin it stays where it fell and bounces there, nearly as high.
TEST_CASE("a lob that hops on the spot is a feed") {
  CameraModel camera = camera_at(0);
  camera.camera_from_table = look_at({0, 0.3, 2.8}, {0.2, 0, 0}, {0, 1, 0});
  FlightVector p = usual_flight();
  p[kBounceX] = 0.30;
  p.segment<3>(kVelocityIn) = Eigen::Vector3d(1.9, 0.1, -4.1);
  p.segment<3>(kVelocityOut) = Eigen::Vector3d(0.4, 0.05, 3.7);
  const FlightOptions options;
  Track all;
  for (double t_s = 0.3; t_s < 3.5; t_s += 1 / 60.) {
    constexpr double kHop_s = 0.72;
    const double after_s = t_s - p[kTimeOfBounce];
    const int hop = after_s < 0 ? 0 : static_cast<int>(after_s / kHop_s);
    Eigen::Vector3d x_m = flight_state(p, options, t_s - hop * kHop_s).x_m;
    x_m.x() += 0.29 * hop;
    Sighting s;
    s.t_s = t_s;
    s.centre_px = *camera.project(x_m);
    s.sigma_px = 0.3;
    all.sightings.push_back(s);
  }
  const auto found = joined({all}, camera);
  REQUIRE(found.size() == 1);
  CHECK(found[0].fit.bounce_seen());
  CHECK(std::abs(found[0].fit.parameters[kBounceX] - 0.30) < 0.02);
}

TEST_CASE("pieces are joined by how fast they are where they meet") {
  const CameraModel camera = camera_at(5);
  auto all = feed_at(camera, 1.0);
  const Sighting last = all.back();
  for (int i = 1; i < 100; ++i) {  // past the end it hardly moves on
    Sighting s = last;
    s.t_s += i / 60.;
    s.centre_px.x() += 0.6 * i;
    all.push_back(s);
  }
  const auto found = joined(cut(all, 0.8), camera);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  CHECK(std::abs(found[0].fit.parameters[kBounceX] - 0.70) < 0.02);
}

// Fall and rise look like a way along the table, and turn at the bounce.
TEST_CASE("a track that breaks at a steep bounce is one feed") {
  CameraModel camera = camera_at(0);
  camera.camera_from_table = look_at({-1.5, 0, 2.8}, {0.4, 0, 0}, {0, 0, 1});
  FlightVector steep = usual_flight();
  steep.segment<3>(kVelocityIn) = Eigen::Vector3d(3.0, 0.1, -2.8);
  steep.segment<3>(kVelocityOut) = Eigen::Vector3d(2.7, 0.08, 2.6);
  RandomEngine random = derived_engine(1, "finder, steep");
  const auto all = sightings_of(steep, camera, 60, 0.2, random);
  const auto found = joined(cut(all, 1.0), camera);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  CHECK(found[0].sightings.size() == all.size());
}

TEST_CASE("what leaps along the table is no launch, what turns aside is one") {
  const CameraModel camera = camera_at(45);
  const auto feeds = [&](const std::vector<double>& x_m, double aside_m) {
    Track track;
    for (std::size_t i = 0; i < x_m.size(); ++i) {
      Sighting s;
      s.t_s = 1 + static_cast<double>(i) / 60;
      const double y_m =
          i < 6 ? 0.2 : 0.2 + aside_m * static_cast<double>(i - 5);
      s.centre_px = *camera.project({x_m[i], y_m, 0.1});
      s.sigma_px = 0.2;
      track.sightings.push_back(s);
    }
    return joined({track}, camera).size();
  };
  CHECK(feeds({-1.2, -1.1, -1, -.9, -.8, -.7, -.6, -.5, -.4, -.3, -.2, -.1, 0},
              0.15) == 1);
  CHECK(feeds({-1.2, -1.1, -0.2, -0.9, 0.3, -0.1, 0.1}, 0) == 0);
  // At even steps: too seldom seen, or faster than any ball.
  CHECK(feeds({-1.2, -0.7, -0.2, 0.3}, 0) == 1);
  CHECK(feeds({-1.2, -0.6, 0}, 0) == 0);
  CHECK(feeds({-1.3, -0.5, 0.3, 1.1}, 0) == 0);
}

TEST_CASE("from low behind the launcher what falls does not come back") {
  CameraModel camera = camera_at(0);
  camera.camera_from_table = look_at({-3.2, 0.4, 1.5}, {0.3, 0, 0}, {0, 0, 1});
  std::vector<Sighting> all;
  for (int i = 0; i < 3; ++i) {
    const auto one = feed_at(camera, 1.0 + 1.5 * i);
    all.insert(all.end(), one.begin(), one.end());
  }
  const Found found = find(all, camera);
  std::vector<FoundFeed> feeds = found.feeds;
  Bench bench;
  bench.camera = camera;
  const SessionFit session =
      fit_session(feeds, bench, FlightOptions{}, {}, {}, found.strays);
  REQUIRE(session.feeds.size() == 3);
  for (const Feed& feed : session.feeds) {
    CHECK(feed.status == FeedStatus::kMeasured);
    CHECK(std::abs(feed[Characteristic::kX].value - 700) <
          4 * feed[Characteristic::kX].sigma);
  }
}

TEST_CASE("a feed waits for its rest as long as that may be in view") {
  const CameraModel camera = camera_at(20);
  const Surface surface = whole_table();
  const FlightOptions flight;
  Track first{feed_at(camera, 1.0)};
  Track rest = first;
  std::erase_if(first.sightings,
                [](const Sighting& s) { return s.t_s > 0.72; });
  std::erase_if(rest.sightings, [](const Sighting& s) { return s.t_s < 0.78; });
  const double begun_s = rest.start_s();
  FeedFinder finder(camera, surface, flight, FinderOptions{});
  finder.add({first});
  CHECK(finder.advance(2.5, begun_s).empty());
  finder.add({rest});
  const auto found = finder.finish();
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  // What never ends, a person perhaps, holds nothing up for good.
  FeedFinder patient(camera, surface, flight, FinderOptions{});
  patient.add({first});
  CHECK(patient.advance(4.6, begun_s).empty());
  CHECK(patient.advance(4.8, begun_s).size() == 1);
  // Nothing in view: as soon as it has settled.
  FeedFinder idle(camera, surface, flight, FinderOptions{});
  idle.add({first});
  CHECK(idle.advance(1.6, 1e9).empty());
  CHECK(idle.advance(1.8, 1e9).size() == 1);
}

TEST_CASE("five sightings that some flight explains are no feed") {
  const CameraModel camera = camera_at(20);
  const auto all = feed_at(camera, 1.0);
  const auto feeds_of = [&](std::size_t seen) {
    Track track;
    for (std::size_t i = 0; i < seen; ++i) {
      track.sightings.push_back(all[3 * i]);
    }
    return joined({track}, camera).size();
  };
  CHECK(feeds_of(7) == 1);
  CHECK(feeds_of(5) == 0);
}

TEST_CASE("nothing seen is nothing found") {
  const Found found = find({}, camera_at(0));
  CHECK(found.feeds.empty());
  CHECK(found.counts.strays == 0);
}

namespace {

// Six flights that are seen `noise_px` off, each error for `held` pictures, and
// said to be seen `stated_px` off.
SessionFit session_of(double noise_px,
                      double stated_px,
                      bool together = true,
                      int held = 1) {
  const CameraModel camera = camera_at(30);
  std::vector<FoundFeed> found;
  const FlightOptions options;
  for (int i = 0; i < 6; ++i) {
    FlightVector p = usual_flight();
    p[kTimeOfBounce] = 1.0 + i;
    RandomEngine random = derived_engine(1, "session scale", i);
    FoundFeed feed;
    feed.sightings =
        sightings_of(p, camera, 60, held > 1 ? 0 : noise_px, random);
    std::normal_distribution<double> normal(0, noise_px);
    Eigen::Vector2d error_px(0, 0);
    for (std::size_t j = 0; j < feed.sightings.size(); ++j) {
      Sighting& s = feed.sightings[j];
      s.sigma_px = stated_px;
      if (held <= 1) continue;
      if (j % static_cast<std::size_t>(held) == 0) {
        error_px = {normal(random), normal(random)};
      }
      s.centre_px += error_px;
    }
    feed.fit = fit_flight(feed.sightings, camera, options);
    found.push_back(std::move(feed));
  }
  Bench bench;
  bench.camera = camera;
  SessionFitOptions asked;
  asked.adjust_jointly = together;
  return fit_session(found, bench, options, {}, asked);
}

}  // namespace

TEST_CASE("a session finds sigmas that were stated too small") {
  const SessionFit session = session_of(0.4, 0.2);
  REQUIRE(session.feeds.size() == 6);
  CHECK(session.sigma_scale == doctest::Approx(2.0).epsilon(0.15));
  CHECK(session.feeds[5].number == 6);
}

// Each error is held for three pictures, as compression does: 1 + 2 (2/3 + 1/3)
// count for one, less what the flights take up, and as large as stated.
TEST_CASE("errors that remember make a session's sigmas larger") {
  CHECK(session_of(0.4, 0.4, true, 3).sigma_scale > 1.1);
}

// One-sided light moves all sightings alike: they do not scatter by it.
TEST_CASE("half of a stated doubt stays, however little sightings scatter") {
  CHECK(session_of(0.05, 0.5).sigma_scale == doctest::Approx(0.5));
  CHECK(session_of(0.05, 0.5, false).sigma_scale == doctest::Approx(0.5));
  CHECK(session_of(0.35, 0.5).sigma_scale ==
        doctest::Approx(0.7).epsilon(0.15));
}

// What falls comes nearer to a camera behind the launcher, on the table's plane
// back to the launcher's end and far beyond it.
TEST_CASE(
    "a ball that drops before a camera behind it is kept to be looked at") {
  CameraModel camera = camera_at(45);
  camera.camera_from_table = look_at({-4, 1, 2}, {0, 0, 0}, {0, 0, 1});
  std::vector<Sighting> drop;
  for (int i = 0; i < 22; ++i) {
    const double t_s = i / 60.0;
    Sighting s;
    s.t_s = 3 + t_s;
    s.centre_px = *camera.project(
        {-1.2 + 0.1 * t_s, 0, 0.3 - kGravity_mps2 * t_s * t_s / 2});
    s.sigma_px = 0.2;
    drop.push_back(s);
  }
  const Found found = find(drop, camera);
  CHECK(found.feeds.empty());
  REQUIRE(found.strays.size() == 1);
  CHECK(found.strays[0].sightings.size() >= 18);
}
