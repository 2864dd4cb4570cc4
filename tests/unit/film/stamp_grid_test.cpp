// SPDX-License-Identifier: MIT
#include "film/stamp_grid.h"

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kFrames = 6000;

// Of a film of `rate_hz`, in milliseconds from 7.3 on, rounded; some dropped.
std::vector<std::int64_t> rounded(double rate_hz, int dropped_every) {
  std::vector<std::int64_t> stamps;
  for (int i = 0; i < kFrames; ++i) {
    if (dropped_every > 0 && i % dropped_every == 3) continue;
    stamps.push_back(std::llround(7.3 + 1000 * i / rate_hz));
  }
  return stamps;
}

}  // namespace

TEST_CASE("stamps in whole milliseconds go back to the grid they came from") {
  int tried = 0;
  for (const double rate_hz : {23.976, 25.0, 29.97, 50.0, 59.94, 60.0, 240.0}) {
    for (const int dropped_every : {0, 7}) {
      CAPTURE(rate_hz);
      CAPTURE(dropped_every);
      const auto stamps = rounded(rate_hz, dropped_every);
      const auto grid = regular_grid(stamps);
      REQUIRE(grid);
      CHECK(grid->step == doctest::Approx(1000 / rate_hz).epsilon(1e-6));
      double worst = 0;
      for (const std::int64_t stamp : stamps) {
        const double i = std::round((stamp - 7.3) * rate_hz / 1000);
        // Where 0 is on the grid, rounding may shift all alike.
        worst = std::max(
            worst,
            std::abs(grid->nearest(stamp) - grid->first - 1000 * i / rate_hz));
      }
      CHECK(worst < 0.05);
      ++tried;
    }
  }
  CHECK(tried == 14);
}

TEST_CASE(
    "the order of stamps does not matter, nor does one that stands twice") {
  auto stamps = rounded(60, 0);
  std::swap(stamps[10], stamps[12]);
  stamps.push_back(stamps[50]);
  REQUIRE(regular_grid(stamps));
}

TEST_CASE("stamps of a rate that varies are left alone") {
  auto stamps = rounded(60, 0);
  stamps[3000] += 2;  // one late frame
  CHECK_FALSE(regular_grid(stamps));

  stamps.clear();  // a telephone in dim light: the rate sinks on the way
  double t_ms = 0;
  for (int i = 0; i < kFrames; ++i) {
    stamps.push_back(std::llround(t_ms));
    t_ms += 16.7 + 3.0 * i / kFrames;
  }
  CHECK_FALSE(regular_grid(stamps));
  CHECK_FALSE(regular_grid({0, 17, 33}));
}
