// SPDX-License-Identifier: MIT
#include "live/disk_watch.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a disk that fills is told once, and the rest is kept") {
  constexpr double kRate = 5e6;  // bytes a second
  std::uint64_t free = 6'000'000'000;
  DiskWatch watch([&] { return std::optional(free); });
  double low_s = 0;
  double full_s = 0;
  int told = 0;
  for (int s = 0; s < 1300; ++s) {
    const std::string words = watch.look(s);
    if (!words.empty()) {
      ++told;
      (watch.room() ? low_s : full_s) = s;
    }
    free -= static_cast<std::uint64_t>(kRate);
    if (free < 100'000'000) break;
  }
  CHECK(told == 2);
  // Ten minutes of film are left then,
  CHECK((6e9 - kRate * low_s) / kRate == doctest::Approx(600).epsilon(0.02));
  // and the session's own files have their room.
  CHECK(6e9 - kRate * full_s > 256e6 - 2 * kRate);
  CHECK(6e9 - kRate * full_s < 280e6);
  CHECK_FALSE(watch.room());
}

TEST_CASE("a disk that has room, or that nobody knows, is not told of") {
  DiskWatch large([] { return std::optional<std::uint64_t>(1ULL << 40); });
  DiskWatch unknown([]() -> std::optional<std::uint64_t> { return {}; });
  for (int s = 0; s < 100; ++s) {
    CHECK(large.look(s).empty());
    CHECK(unknown.look(s).empty());
  }
  CHECK(large.room());
  CHECK(unknown.room());
}
