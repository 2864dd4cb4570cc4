// SPDX-License-Identifier: MIT
#include "wear/session_memory.h"

#include "base/random.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Values that keep `memory` of the one before, begun anew in each set-up of
// `members`, each about its set-up.
std::vector<double> remembering(int n,
                                int members,
                                double memory,
                                double setups_keep,
                                std::uint64_t index) {
  auto engine = derived_engine(3, "session memory", index);
  std::normal_distribution<double> normal;
  std::vector<double> values;
  double setup = 0;
  double one = 0;
  for (int i = 0; i < n; ++i) {
    if (i % members == 0) {
      setup = setups_keep * setup + 10 * normal(engine);
      one = normal(engine);
    } else {
      one = memory * one + std::sqrt(1 - memory * memory) * normal(engine);
    }
    values.push_back(setup + one);
  }
  return values;
}

std::vector<int> setups_of(int n, int members) {
  std::vector<int> setups;
  for (int i = 0; i < n; ++i) setups.push_back(i / members);
  return setups;
}

}  // namespace

TEST_CASE("session memory: what each session says about the next") {
  const std::vector<double> follows = remembering(4000, 4000, 0.6, 0, 1);
  CHECK(session_memory(follows, 2) == doctest::Approx(0.6).epsilon(0.1));
  CHECK(session_memory(remembering(4000, 4000, 0, 0, 2), 2) < 0.03);
  CHECK(session_memory({1, 2}, 1) == 0);
  // Few sessions hide it: each unknown took its part.
  const std::vector<double> few = remembering(40, 40, 0.5, 0, 3);
  REQUIRE(session_memory(few, 1) > 0.2);
  CHECK(session_memory(few, 4) ==
        doctest::Approx(session_memory(few, 1) + 3.0 / 40));
}

TEST_CASE("session memory: within set-ups, and from set-up to set-up") {
  constexpr int kMembers = 5;
  const std::vector<int> setups = setups_of(4000, kMembers);
  const auto memory = [&](double within, double between, bool shared) {
    return setup_memory(
        remembering(4000, kMembers, within, between, 5), setups, shared, 2);
  };
  // The set-ups' own scatter is no memory.
  CHECK(memory(0, 0, true) < 0.08);
  CHECK(memory(0.6, 0, true) == doctest::Approx(0.6).epsilon(0.15));
  CHECK(memory(0, 0.7, true) == doctest::Approx(0.7).epsilon(0.15));
  CHECK(memory(0, 0.7, false) < 0.08);
  // A session that does not count, and too few pairs.
  std::vector<double> values(12, 0);
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] = i % 4 < 2 ? 1 : -1;
  }
  CHECK(setup_memory(values, setups_of(12, 4), false, 2) > 0.3);
  values[1] = std::numeric_limits<double>::quiet_NaN();
  values[2] = values[1];
  CHECK(setup_memory(values, setups_of(12, 4), false, 2) == 0);
  CHECK_THROWS(setup_memory(values, {0, 1}, false, 2));
}
