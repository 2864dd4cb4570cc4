// SPDX-License-Identifier: MIT
#include "stats/selected_interval.h"

#include "base/random.h"
#include "stats/distributions.h"

#include <cmath>
#include <random>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("least_when_selected: is the ordinary end far beyond the limit") {
  const double t = student_t_quantile(0.975, 1e6);
  CHECK(least_when_selected(12, 3, 1e6, 0.025) ==
        doctest::Approx(12 - t).epsilon(1e-6));
  CHECK(least_when_selected(5, 0, 30, 0.025) ==
        doctest::Approx(5 - student_t_quantile(0.975, 30)).epsilon(1e-3));
}

TEST_CASE("least_when_selected: at the limit nothing but the sign is left") {
  // z = limit: the tail is that the sign is right, 1 / (1 + exp(-2 c theta))
  // for a normal far out; 0.025 at theta = ln(0.025 / 0.975) / (2 c), nearly.
  const double c = 4;
  const double least = least_when_selected(c + 1e-9, c, 1e7, 0.025);
  CHECK(least ==
        doctest::Approx(std::log(0.025 / 0.975) / (2 * c)).epsilon(0.05));
}

TEST_CASE("least_when_selected: covers what was told because it was large") {
  // By drawing: of estimates beyond the limit, at most 2.5 % have the truth
  // below that end, whatever the truth; the ordinary end fails most of them.
  constexpr double kLimit = 3;
  constexpr double kDegrees = 20;
  for (const double truth : {0.5, 1.5, 3.0, 5.0}) {
    RandomEngine random = derived_engine(5, "selected");
    std::student_t_distribution<double> noise(kDegrees);
    int selected = 0;
    int below = 0;
    int ordinary_below = 0;
    for (int i = 0; i < 400000 && selected < 4000; ++i) {
      const double z = truth + noise(random);
      if (z <= kLimit) continue;
      ++selected;
      below += truth < least_when_selected(z, kLimit, kDegrees, 0.025);
      ordinary_below += truth < z - student_t_quantile(0.975, kDegrees);
    }
    CAPTURE(truth);
    REQUIRE(selected > 1000);
    CHECK(below < 0.025 * selected + 3 * std::sqrt(0.025 * selected));
    if (truth < 1) CHECK(ordinary_below > 0.9 * selected);
  }
}

TEST_CASE("least_when_selected: refuses what was not selected") {
  CHECK_THROWS_AS(least_when_selected(2, 3, 10, 0.025), std::logic_error);
  CHECK_THROWS_AS(least_when_selected(std::nan(""), 3, 10, 0.025),
                  std::logic_error);
  CHECK_THROWS_AS(least_when_selected(4, 3, 0, 0.025), std::logic_error);
  CHECK_THROWS_AS(least_when_selected(4, 3, 10, 0.6), std::logic_error);
}
