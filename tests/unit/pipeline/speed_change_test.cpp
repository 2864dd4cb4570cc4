// SPDX-License-Identifier: MIT
// Films that are slowed for a part of them.
#include "pipeline/speed_change.h"

#include "unit/pipeline/slow_film.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Feed i bounces at 1 + 1.5 i seconds. Slowed from one moment to another.
Measurement slowed_between(double from_s, double until_s, double slower) {
  return measured_as_played(12, [&](double t_s) {
    if (t_s < from_s) return t_s;
    const double within_s = std::min(t_s, until_s) - from_s;
    return from_s + slower * within_s + std::max(0.0, t_s - until_s);
  });
}

std::string first_warning(const Measurement& film) {
  return film.fit.warnings.empty() ? "" : film.fit.warnings[0];
}

}  // namespace

TEST_CASE("the second half slowed 8 times is named, with where and how much") {
  const Measurement film = slowed_between(9.25, 100, 8);
  CHECK(film.fit.feeds.size() < 12);
  const std::string words = first_warning(film);
  CHECK(words.find("the film changes its speed: from 0:1") !=
        std::string::npos);
  CHECK(words.find("times slower") != std::string::npos);
  CHECK(words.find("6 feeds") != std::string::npos);
  CHECK(words.find("--slow (8 there)") != std::string::npos);
}

TEST_CASE("a slowed part in the middle is named") {
  const std::string words = first_warning(slowed_between(6.25, 12.25, 4));
  CHECK(words.find("the film changes its speed") != std::string::npos);
  CHECK(words.find("4 feeds") != std::string::npos);
}

TEST_CASE("nothing is said of a film that plays at one speed") {
  const Measurement film = slowed_between(0, 0, 1);
  CHECK(film.fit.feeds.size() == 12);
  for (const std::string& words : film.fit.warnings) {
    CHECK(words.find("speed") == std::string::npos);
  }
}
