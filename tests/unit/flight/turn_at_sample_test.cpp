// SPDX-License-Identifier: MIT
#include "flight/turn_at_sample.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNoise_px = 0.2;

Filmed filmed_turn(int run) {
  RandomEngine random = derived_engine(1, "turn at the sample", run);
  return film(rally(), kNoise_px, random);
}

// Tracks as they are parted where the way along the table is longest.
void part_too_late(Filmed& filmed, std::size_t by) {
  std::vector<Sighting>& back = filmed.found.returned.front().sightings;
  const auto end = back.begin() + static_cast<std::ptrdiff_t>(by);
  filmed.found.sightings.insert(
      filmed.found.sightings.end(), back.begin(), end);
  back.erase(back.begin(), end);
  filmed.found.fit =
      fit_flight(filmed.found.sightings, filmed.camera, FlightOptions{});
}

FoundFeed parted_anew(const Filmed& filmed) {
  std::vector<FoundFeed> found{filmed.found};
  give_returns_their_first(found, filmed.camera, FlightOptions{});
  return found.front();
}

}  // namespace

TEST_CASE("the first sighting after the hit goes back to the return") {
  int given = 0;
  constexpr int kRuns = 20;
  for (int run = 0; run < kRuns; ++run) {
    CAPTURE(run);
    Filmed late = filmed_turn(run);
    const std::size_t own = late.found.sightings.size();
    const std::size_t all = own + late.found.returned.front().sightings.size();
    part_too_late(late, 1);
    REQUIRE(late.found.fit.ok());
    const FoundFeed parted = parted_anew(late);
    given += parted.sightings.size() <= own;
    CHECK(parted.sightings.size() + parted.returned.front().sightings.size() ==
          all);
    CHECK(parted.fit.used.size() == parted.sightings.size());
  }
  CHECK(given == kRuns);
}

// So few pictures that what is left cannot be measured: the second arc would be
// two thirds of a wrong flight.
TEST_CASE("nor does a feed keep it that is too short without it") {
  constexpr int kRuns = 20;
  constexpr std::size_t kEvery = 2;
  int given = 0, hardly_left = 0, none_at_first = 0;
  for (int run = 0; run < kRuns; ++run) {
    Filmed few = filmed_turn(run);
    const auto thin = [](std::vector<Sighting>& seen, std::size_t first) {
      std::vector<Sighting> kept;
      for (std::size_t i = first; i < seen.size(); i += kEvery) {
        kept.push_back(seen[i]);
      }
      seen = std::move(kept);
    };
    std::vector<Sighting>& own = few.found.sightings;
    const std::size_t after = (kEvery - own.size() % kEvery) % kEvery;
    thin(own, 0);
    thin(few.found.returned.front().sightings, after);
    own.erase(own.begin(), own.end() - 4);
    part_too_late(few, 1);
    none_at_first += !few.found.fit.ok();
    const FoundFeed parted = parted_anew(few);
    given += parted.sightings.size() == 4;
    hardly_left += !parted.whole();
  }
  MESSAGE(given, " given, ", hardly_left, " unmeasured, ", none_at_first);
  CHECK(given == kRuns);
}

TEST_CASE("a feed keeps what it was seen at before the hit") {
  int kept = 0;
  constexpr int kRuns = 40;
  for (int run = 0; run < kRuns; ++run) {
    const Filmed right = filmed_turn(100 + run);
    kept += parted_anew(right).sightings.size() == right.found.sightings.size();
  }
  // The hit itself is both's: a picture that falls on it may be given away.
  CHECK(kept >= kRuns - 2);
}

// Without a turn every sighting of a flight lies on the way of its rest.
TEST_CASE("what carries a flight on without a turn is not a return") {
  RandomEngine random = derived_engine(1, "turn at the sample, none", 0);
  Filmed one = filmed_turn(0);
  const auto all =
      sightings_of(usual_flight(), one.camera, 60, kNoise_px, random, 0.25);
  const auto part = all.end() - 7;
  for (const std::ptrdiff_t own : {6, 20}) {
    CAPTURE(own);
    one.found.sightings.assign(part - own, part);
    one.found.returned = {Track{{part, all.end()}}};
    one.found.fit =
        fit_flight(one.found.sightings, one.camera, FlightOptions{});
    REQUIRE(one.found.fit.ok());
    CHECK(parted_anew(one).sightings.size() == one.found.sightings.size());
  }
}

// Backspin may send a slow ball back at its bounce: what follows is no return.
TEST_CASE("a ball that turns at its bounce keeps its second arc") {
  RandomEngine random = derived_engine(1, "turn at the bounce", 0);
  FlightVector turning = usual_flight();
  turning.segment<3>(kVelocityOut) = Eigen::Vector3d(-1.5, 0.1, 2.1);
  Filmed one = filmed_turn(0);
  const auto all =
      sightings_of(turning, one.camera, 100, kNoise_px, random, 0.3);
  const auto part = all.end() - 12;
  one.found.sightings.assign(all.begin(), part);
  one.found.returned = {Track{{part, all.end()}}};
  one.found.fit = fit_flight(one.found.sightings, one.camera, FlightOptions{});
  REQUIRE(one.found.fit.ok());
  CHECK(parted_anew(one).sightings.size() == one.found.sightings.size());
}

TEST_CASE("a short or a late return takes nothing") {
  Filmed one = filmed_turn(3);
  part_too_late(one, 1);
  const std::size_t own = one.found.sightings.size();
  Filmed is_short = one;
  is_short.found.returned.front().sightings.resize(3);
  CHECK(parted_anew(is_short).sightings.size() == own);
  Filmed is_late = one;
  std::vector<Sighting>& back = is_late.found.returned.front().sightings;
  back.erase(back.begin(), back.begin() + 4);
  CHECK(parted_anew(is_late).sightings.size() == own);
}
