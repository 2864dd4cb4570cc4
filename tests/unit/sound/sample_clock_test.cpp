// SPDX-License-Identifier: MIT
#include "sound/sample_clock.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {
constexpr double kBlock_s = 1024.0 / 48000;
}

TEST_CASE("exact stamps are taken as they are") {
  SampleClock clock(1.0 / 48000);
  for (int i = 0; i < 1000; ++i) {
    const auto reading = clock.stamped(0.7 + i * kBlock_s, kBlock_s);
    CHECK(reading.t_s == doctest::Approx(0.7 + i * kBlock_s).epsilon(1e-12));
    CHECK(reading.continues == (i > 0));
  }
}

TEST_CASE("stamps in whole milliseconds are averaged") {
  SampleClock clock(1e-3);
  double worst_s = 0;
  for (int i = 0; i < 2000; ++i) {
    const double true_s = i * kBlock_s;
    const double stamp_s = std::round(true_s * 1e3) * 1e-3;
    const double t_s = clock.stamped(stamp_s, kBlock_s).t_s;
    if (i > 100) worst_s = std::max(worst_s, std::abs(t_s - true_s));
  }
  CHECK(worst_s < 1.2e-4);
}

TEST_CASE("a clock that runs off is followed, a lost packet is a gap") {
  SampleClock clock(1e-6);
  double t_s = 0;
  constexpr double kDrift = 1 + 100e-6;
  for (int i = 0; i < 5000; ++i) {
    const auto reading = clock.stamped(i * kBlock_s * kDrift, kBlock_s);
    CHECK(reading.continues == (i > 0));
    t_s = reading.t_s;
  }
  CHECK(std::abs(t_s - 4999 * kBlock_s * kDrift) < 1.2e-3);
  const auto after = clock.stamped(5001 * kBlock_s * kDrift, kBlock_s);
  CHECK_FALSE(after.continues);
  CHECK(after.t_s == doctest::Approx(5001 * kBlock_s * kDrift).epsilon(1e-12));
  CHECK(clock.unstamped(kBlock_s).continues);
}
