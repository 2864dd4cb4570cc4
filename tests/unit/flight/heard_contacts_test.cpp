// SPDX-License-Identifier: MIT
#include "flight/heard_contacts.h"

#include "base/units.h"

#include <algorithm>
#include <cmath>

#include "flight_bench.h"
#include "heard_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kSampleTrue_m = 1.37;
const Eigen::Vector3d kMicrophone_m(0.9, 0, 2.5);

struct Session {
  std::vector<FlightVector> truth;
  std::vector<FoundFeed> found;
  std::vector<Tick> ticks;
  SoundClock clock;  ///< that its bounces gave
};

FeedEnds sample_at(double x_m, double sd_m) {
  FeedEnds ends;
  ends.sample_x_m = x_m;
  ends.sample_sd_m = sd_m;
  return ends;
}

// Feeds seen from overhead, the ticks of their contacts among others. The clock
// is off by clock_off_s, as it says it may be.
Session session_of(int feeds, double others_hz, double clock_off_s) {
  Session session;
  const CameraModel camera = camera_at(0);
  session.clock.middle_s = 0.75 * feeds;
  session.clock.offset_s = 0.07 + clock_off_s;
  session.clock.covariance(0, 0) = 4e-8;
  RandomEngine clutter = derived_engine(4, "others");
  std::normal_distribution<double> normal;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(4, "contacts", i);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += 1.5 * i + 0.02 * normal(random);
    p[kBounceX] += 0.03 * normal(random);
    p[kVelocityOut] += 0.05 * normal(random);
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, 60, 0.3, random);
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    const auto contact =
        contact_of(p, FlightOptions{}, sample_at(kSampleTrue_m, 0));
    REQUIRE(contact);
    session.ticks.push_back(
        clear_tick(contact->t_s + 0.07 + 2e-4 * normal(random) +
                   (contact->centre_m - kMicrophone_m).norm() / 343.2));
    session.truth.push_back(p);
    session.found.push_back(std::move(feed));
  }
  add_others(others_hz * 1.5 * feeds, 1.5 * feeds + 1, clutter, session.ticks);
  return session;
}

HeardContacts heard_in(Session& session, const FeedEnds& ends) {
  return hear_contacts(session.ticks,
                       kMicrophone_m,
                       {},
                       session.clock,
                       camera_at(0),
                       FlightOptions{},
                       ends,
                       session.found);
}

struct Errors {
  double mean = 0, sd = 0, z = 0, stated = 0;
};

// Of one characteristic, in its unit.
Errors errors_of(const Session& session,
                 const FeedEnds& ends,
                 Characteristic id) {
  Errors errors;
  std::vector<double> off;
  std::vector<double> sigma;
  const FeedEnds really = sample_at(kSampleTrue_m, 0);
  FlightFit true_fit = session.found[0].fit;
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    true_fit.parameters = session.truth[i];
    const Measured truth = derive_feed(true_fit, FlightOptions{}, really)[id];
    const Measured got =
        derive_feed(session.found[i].fit, FlightOptions{}, ends)[id];
    REQUIRE(std::isfinite(got.value));
    off.push_back(got.value - truth.value);
    sigma.push_back(got.sigma);
  }
  const auto n = static_cast<double>(off.size());
  for (const double one : off) errors.mean += one / n;
  for (std::size_t i = 0; i < off.size(); ++i) {
    const double about = off[i] - errors.mean;
    errors.sd += about * about / n;
    errors.z += about * about / (sigma[i] * sigma[i]) / n;
    errors.stated += sigma[i] / n;
  }
  errors.sd = std::sqrt(errors.sd);
  errors.z = std::sqrt(errors.z);
  return errors;
}

}  // namespace

TEST_CASE("contacts are heard, and tell where the sample stands") {
  Session session = session_of(60, 1.0, 1e-4);
  // Believed 5 mm too near: 1.5 ms too early.
  const FeedEnds believed = sample_at(kSampleTrue_m - 5e-3, 4e-3);
  const Errors seen =
      errors_of(session, believed, Characteristic::kContactTime);
  const HeardContacts heard = heard_in(session, believed);
  CAPTURE(heard.why_not);
  REQUIRE(heard.agrees);
  const Errors both =
      errors_of(session, heard.ends, Characteristic::kContactTime);
  const Errors height =
      errors_of(session, heard.ends, Characteristic::kContactZ);
  MESSAGE("contact: sd " << 1e3 * seen.sd << " ms seen, " << 1e3 * both.sd
                         << " heard (stated " << 1e3 * both.stated << ", z "
                         << both.z << "), mean " << 1e3 * seen.mean << " and "
                         << 1e3 * both.mean << ", z of the height " << height.z
                         << ", " << heard.heard << " heard, "
                         << 1e3 * heard.late_s << " ms late");
  CHECK(heard.expected == 60);
  CHECK(heard.heard >= 54);
  CHECK(std::count(heard.by_ear.begin(), heard.by_ear.end(), 1) == heard.heard);
  CHECK(both.sd < 0.6 * seen.sd);
  CHECK(both.z > 0.75);
  CHECK(both.z < 1.25);
  CHECK(height.z > 0.65);  // the priors are wider than these feeds
  CHECK(height.z < 1.25);
  // The plane is nearer to the truth, and as uncertain as it says.
  CHECK(heard.ends.sample_sd_m < 0.5 * believed.sample_sd_m);
  CHECK(std::abs(heard.ends.sample_x_m - kSampleTrue_m) <
        3 * heard.ends.sample_sd_m);
  CHECK(std::abs(both.mean) < 3 * std::hypot(2e-4, 5e-5));
}

TEST_CASE("a sample that was told stays where it was told") {
  Session session = session_of(40, 0.5, 0);
  const FeedEnds told = sample_at(kSampleTrue_m, 0);
  const HeardContacts heard = heard_in(session, told);
  REQUIRE(heard.agrees);
  CHECK(heard.ends.sample_x_m == told.sample_x_m);
  CHECK(heard.ends.sample_sd_m == 0);
  CHECK(heard.heard >= 36);
}

TEST_CASE("contacts that are not heard change nothing") {
  Session session = session_of(30, 2.0, 0);
  const Session before = session;
  FeedEnds ends = sample_at(kSampleTrue_m, 1e-3);
  SUBCASE("the ticks of something else") {
    for (Tick& tick : session.ticks) tick.t_s *= 1.01;
  }
  SUBCASE("nobody knows where the sample stands") {
    ends.sample_x_m = std::numeric_limits<double>::quiet_NaN();
  }
  SUBCASE("it stands far from where it is believed") {
    ends.sample_x_m += 0.12;
  }
  const HeardContacts heard = heard_in(session, ends);
  CHECK_FALSE(heard.agrees);
  CHECK_FALSE(heard.why_not.empty());
  CHECK(heard.heard == 0);
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    CHECK(session.found[i].fit.parameters == before.found[i].fit.parameters);
    CHECK(session.found[i].fit.covariance == before.found[i].fit.covariance);
  }
}
