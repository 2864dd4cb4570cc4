// SPDX-License-Identifier: MIT
#include "flight/end_at_contact.h"

#include <cmath>
#include <cstddef>

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNoise_px = 0.2;
constexpr double kCentre_m = 1.30;

FeedEnds ends_at(double centre_m) {
  FeedEnds ends;
  ends.sample_x_m = centre_m + FlightOptions{}.ball.radius_m;
  return ends;
}

struct Turn {
  Filmed filmed;
  std::vector<ReturnFit> returns;
  std::size_t own = 0;  // sightings before the hit
  double t_contact_s = 0;
};

// With the first `by` sightings after the hit among the feed's.
Turn turn(int run, std::size_t by) {
  RandomEngine random = derived_engine(1, "end at the contact", run);
  const Rally one = rally({-3.3, 0.1, 2.3}, 0.1, -0.02, 0.5, kCentre_m);
  Turn turned;
  turned.t_contact_s = one.t_contact_s;
  turned.filmed = film(one, kNoise_px, random);
  FoundFeed& feed = turned.filmed.found;
  turned.own = feed.sightings.size();
  turned.returns =
      fit_returns({feed}, turned.filmed.camera, options_of_returns({}, {}), 1);
  std::vector<Sighting>& back = feed.returned.front().sightings;
  const auto end = back.begin() + static_cast<std::ptrdiff_t>(by);
  feed.sightings.insert(feed.sightings.end(), back.begin(), end);
  back.erase(back.begin(), end);
  feed.fit = fit_flight(feed.sightings, turned.filmed.camera, FlightOptions{});
  return turned;
}

FoundFeed ended(const Turn& turned,
                const FeedEnds& ends = ends_at(kCentre_m),
                double exposure_s = 0) {
  std::vector<FoundFeed> found{turned.filmed.found};
  CameraModel camera = turned.filmed.camera;
  camera.exposure_s = exposure_s;
  const int count =
      end_at_contact(found, turned.returns, camera, FlightOptions{}, ends);
  CHECK((count == 1) == (found.front().sightings.size() <
                         turned.filmed.found.sightings.size()));
  return found.front();
}

double contact_off_sigmas(const FoundFeed& feed, const Turn& turned) {
  const Measured t_s =
      derive_feed(feed.fit,
                  FlightOptions{},
                  ends_at(kCentre_m))[Characteristic::kContactTime];
  return (t_s.value - turned.t_contact_s) / t_s.sigma;
}

}  // namespace

TEST_CASE("a sighting behind the contact is taken off its feed") {
  constexpr int kRuns = 10;
  int right = 0;
  double squares = 0;
  for (int run = 0; run < kRuns; ++run) {
    const Turn late = turn(run, 1);
    REQUIRE(late.filmed.found.whole());
    REQUIRE(late.returns.front().fit.ok());
    const FoundFeed feed = ended(late);
    right += feed.sightings.size() == late.own;
    CHECK(feed.fit.used.size() == feed.sightings.size());
    const double off = contact_off_sigmas(feed, late);
    squares += off * off;
  }
  MESSAGE(right, " of ", kRuns, " end where they should");
  CHECK(right >= kRuns - 1);  // the hit itself is both's
  CHECK(std::sqrt(squares / kRuns) < 1.5);
}

TEST_CASE("what was seen before the contact stays") {
  constexpr int kRuns = 10;
  int kept = 0;
  for (int run = 0; run < kRuns; ++run) {
    const Turn right = turn(100 + run, 0);
    kept += ended(right).sightings.size() == right.own;
  }
  CHECK(kept >= kRuns - 1);
}

TEST_CASE("an exposure that holds the contact shows both ways at once") {
  constexpr int kRuns = 6;
  constexpr double kExposure_s = 1 / 60.0;  // open all the time
  for (int run = 0; run < kRuns; ++run) {
    const Turn right = turn(200 + run, 0);
    const FoundFeed feed = ended(right, ends_at(kCentre_m), kExposure_s);
    CHECK(feed.sightings.back().t_s + kExposure_s / 2 <
          right.t_contact_s + 1e-3);
  }
}

TEST_CASE("a plane that is elsewhere cuts nothing, nor does none") {
  const Turn right = turn(300, 0);
  CHECK(ended(right, ends_at(kCentre_m - 0.3)).sightings.size() == right.own);
  CHECK(ended(right, FeedEnds{}).sightings.size() == right.own);
}

TEST_CASE("a feed that flew past the sample keeps all of its flight") {
  Turn past = turn(301, 1);
  past.returns.assign(1, ReturnFit{});
  CHECK(ended(past).sightings.size() == past.own + 1);
}
