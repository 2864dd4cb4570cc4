// SPDX-License-Identifier: MIT
#include "hearing/hearing.h"

#include "base/error.h"

#include "made_session.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Tally {
  int feeds = 0;
  int ticked = 0;  ///< made a tick at all
  int heard = 0;
  int wrong = 0;
  int refused = 0;
  double offset_z2 = 0;  ///< mean of (error / sigma)^2
  double time_z2 = 0;    ///< the same of single ticks, their clock's error off
};

Tally tally_of(const MadeSession& session, int runs) {
  Tally tally;
  for (int run = 0; run < runs; ++run) {
    const MadeSession::Made made =
        session.make(static_cast<std::uint64_t>(run) + 1);
    const Hearing hearing = hear(made.expected, made.ticks, {});
    tally.feeds += session.feeds;
    for (const int own : made.own) tally.ticked += own >= 0;
    if (!hearing.agrees) {
      ++tally.refused;
      continue;
    }
    const double off_s =
        hearing.clock.offset_s - session.true_offset_s(hearing.clock);
    tally.offset_z2 += off_s * off_s / hearing.clock.covariance(0, 0);
    for (std::size_t i = 0; i < made.own.size(); ++i) {
      const HeardTick& one = hearing.ticks[i];
      if (!one.heard) continue;
      ++tally.heard;
      const Tick* own = made.own[i] >= 0
                            ? &made.ticks[static_cast<std::size_t>(made.own[i])]
                            : nullptr;
      const double travel_s = made.expected[i].distance_m / 343.2;
      tally.wrong += own == nullptr ||
                     std::abs(hearing.clock.picture_s(own->t_s, travel_s) -
                              one.t_s) > 1e-9;
      const double clock_s =
          off_s + (hearing.clock.drift - session.drift) *
                      (made.truth_s[i] - hearing.clock.middle_s);
      const double error_s = one.t_s - made.truth_s[i] + clock_s;
      tally.time_z2 += error_s * error_s / (one.sigma_s * one.sigma_s);
    }
  }
  tally.offset_z2 /= std::max(1, runs - tally.refused);
  tally.time_z2 /= std::max(1, tally.heard);
  return tally;
}

}  // namespace

TEST_CASE("bounces are heard among other ticks, wrong ones are rare") {
  struct Hall {
    const char* name;
    double others_hz;
    double heard;
    double least_heard;  ///< of those that tick
  };
  // Fewer bounces stand out of a louder hall, and more of its own ticks do:
  // about what a bounce 20, 10, 5 and 0 dB over speech gives.
  const Hall halls[] = {{"20 dB", 0.5, 0.99, 0.97},
                        {"10 dB", 2, 0.95, 0.93},
                        {"5 dB", 5, 0.85, 0.4},
                        {"0 dB", 10, 0.6, 0}};
  int feeds = 0;
  for (const Hall& hall : halls) {
    for (const double sight_s : {3e-4, 1e-3, 2.3e-3}) {
      MadeSession session;
      session.others_hz = hall.others_hz;
      session.heard = hall.heard;
      session.sight_s = sight_s;
      const Tally tally = tally_of(session, 20);
      feeds += tally.feeds;
      CAPTURE(sight_s);
      CAPTURE(tally.heard);
      CAPTURE(tally.ticked);
      CAPTURE(tally.wrong);
      CAPTURE(tally.offset_z2);
      MESSAGE(std::string(hall.name)
              << ", sight " << 1e3 * sight_s << " ms: heard "
              << 100.0 * tally.heard / tally.ticked << " %, wrong "
              << tally.wrong << " of " << tally.heard << ", refused "
              << tally.refused << ", offset " << std::sqrt(tally.offset_z2)
              << ", time " << std::sqrt(tally.time_z2));
      // What cannot be told beyond doubt is not told, or the film is refused.
      if (hall.least_heard > 0) CHECK(tally.refused == 0);
      CHECK(tally.heard >= hall.least_heard * tally.ticked);
      CHECK(tally.wrong <= 2);
      if (tally.refused > 10) continue;
      CHECK(std::sqrt(tally.offset_z2) > 0.6);
      CHECK(std::sqrt(tally.offset_z2) < 1.4);
    }
  }
  CHECK(feeds == 4 * 3 * 20 * 60);
}

TEST_CASE("sound may be late or early, and run off") {
  for (const double offset_s : {-0.2, 0.0, 0.2, 0.45}) {
    for (const double drift : {-50e-6, 0.0, 50e-6}) {
      MadeSession session;
      session.feeds = 300;
      session.offset_s = offset_s;
      session.drift = drift;
      const auto made = session.make(11);
      const Hearing hearing = hear(made.expected, made.ticks, {});
      CAPTURE(offset_s);
      CAPTURE(drift);
      REQUIRE(hearing.agrees);
      CHECK(hearing.heard > 270);
      CHECK(std::abs(hearing.clock.offset_s -
                     session.true_offset_s(hearing.clock)) < 4e-4);
      CHECK(std::abs(hearing.clock.drift - drift) < 3e-6);
      CHECK(hearing.clock.sigma_s(1.0) >
            hearing.clock.sigma_s(hearing.clock.middle_s));
    }
  }
}

TEST_CASE("what is not this film's sound is refused in words") {
  MadeSession session;
  const auto made = session.make(5);
  SUBCASE("the sound of another film") {
    for (std::uint64_t other = 100; other < 110; ++other) {
      const Hearing hearing =
          hear(made.expected, session.make(other).ticks, {});
      CHECK_FALSE(hearing.agrees);
      CHECK_FALSE(hearing.why_not.empty());
      CHECK(hearing.heard == 0);
      CHECK(hearing.ticks.size() == made.expected.size());
    }
  }
  SUBCASE("later than is looked for") {
    session.offset_s = 1.0;
    CHECK_FALSE(hear(made.expected, session.make(5).ticks, {}).agrees);
  }
  SUBCASE("nothing but other ticks") {
    session.heard = 0;
    session.of_feeds_too = false;
    for (std::uint64_t other = 1; other < 10; ++other) {
      const auto deaf = session.make(other);
      CHECK_FALSE(hear(deaf.expected, deaf.ticks, {}).agrees);
    }
  }
  SUBCASE("no ticks, and too few feeds") {
    CHECK_FALSE(hear(made.expected, {}, {}).agrees);
    const std::vector<ExpectedTick> few(made.expected.begin(),
                                        made.expected.begin() + 5);
    CHECK(hear(few, made.ticks, {}).why_not.find("5 bounces") !=
          std::string::npos);
  }
}

TEST_CASE("a tick beyond what sight allows is told, not taken") {
  MadeSession session;
  session.others_hz = 0.3;
  session.heard = 1;
  session.sight_s = 4e-4;
  auto made = session.make(21);
  made.expected[30].t_s += 6e-3;
  const Hearing hearing = hear(made.expected, made.ticks, {});
  REQUIRE(hearing.agrees);
  CHECK_FALSE(hearing.ticks[30].heard);
  CHECK(hearing.ticks[30].contradicts_s == doctest::Approx(-6e-3).epsilon(0.3));
  int contradictions = 0;
  for (const HeardTick& one : hearing.ticks) {
    contradictions += one.contradicts_s != 0;
  }
  CHECK(contradictions <= 2);
}

TEST_CASE("distances to the microphone are allowed for") {
  MadeSession session;
  const auto made = session.make(3);
  auto wrong = made.expected;
  HearingOptions options;
  const Hearing right = hear(made.expected, made.ticks, options);
  for (auto& one : wrong) one.distance_m = 2.4;
  const Hearing off = hear(wrong, made.ticks, options);
  REQUIRE(right.agrees);
  REQUIRE(off.agrees);
  double right_s2 = 0;
  double off_s2 = 0;
  for (std::size_t i = 0; i < made.truth_s.size(); ++i) {
    if (!right.ticks[i].heard || !off.ticks[i].heard) continue;
    right_s2 += std::pow(right.ticks[i].t_s - made.truth_s[i], 2);
    off_s2 += std::pow(off.ticks[i].t_s - made.truth_s[i], 2);
  }
  CHECK(off_s2 > 1.3 * right_s2);
  // 20 degrees: 343.2 m/s (from memory; ISO 9613-1 has 343.2 as well).
  CHECK(speed_of_sound_mps(20) == doctest::Approx(343.2).epsilon(2e-4));
  CHECK(speed_of_sound_mps(0) == doctest::Approx(331.3));
}

TEST_CASE("other sounds of a film are heard by the clock that bounces gave") {
  MadeSession session;
  const auto made = session.make(8);
  const Hearing bounces = hear(made.expected, made.ticks, {});
  REQUIRE(bounces.agrees);
  std::vector<ExpectedTick> contacts;
  for (const double t_s : made.truth_s)
    contacts.push_back({t_s + 0.3, 6e-3, 2.8});
  const Hearing heard = hear_by(bounces.clock, contacts, made.ticks, {});
  REQUIRE(heard.agrees);
  CHECK(heard.heard > 30);
  CHECK(heard.clock.offset_s == bounces.clock.offset_s);
}

TEST_CASE("options out of range are refused") {
  HearingOptions options;
  options.most_wrong = 0;
  CHECK_THROWS_AS(options.check(), UsageError);
  options = {};
  options.most_offset_s = 100;
  CHECK_THROWS_AS(options.check(), UsageError);
}
