// SPDX-License-Identifier: MIT
#include "pipeline/profile.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/units.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Profile with_sample(const std::string& lines) {
  const std::string text =
      read_file(EVENFEED_ROOT "/profiles/table-tennis.toml");
  return parse_profile(text + "\n[sample]\n" + lines, "mine.toml");
}

}  // namespace

TEST_CASE("a lean of 0 is told, a lean that is not there is not known") {
  const Profile place = with_sample("x_mm = 1420\n");
  CHECK(place.sample.x_m == doctest::Approx(1.42));
  CHECK(place.sample.sd_m == 0);
  CHECK_FALSE(place.sample.lean_rad.has_value());
  CHECK(with_sample("lean_deg = 0\n").sample.lean_rad == 0.0);
  CHECK(*with_sample("lean_deg = 15\n").sample.lean_rad ==
        doctest::Approx(rad_from_deg(15)));
}

TEST_CASE("a sample that no feed can hit is refused by its key") {
  CHECK_THROWS_WITH_AS(with_sample("lean_deg = 100\n"),
                       doctest::Contains("sample.lean_deg"),
                       InputError);
  CHECK_THROWS_WITH_AS(with_sample("x_mm = 1420\nx_sd_mm = -1\n"),
                       doctest::Contains("sample.x_sd_mm"),
                       InputError);
}
