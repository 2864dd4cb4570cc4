// SPDX-License-Identifier: MIT
#include "stats/cauchy_weight.h"

#include <doctest/doctest.h>

using namespace evenfeed;

// Holland and Welsch 1977, Commun Stat A6:813: 1 / (1 + (z / 2.385)^2).
TEST_CASE("Cauchy's weight halves what lies at its tuning constant") {
  CHECK(cauchy_weight(0) == 1);
  CHECK(cauchy_weight(2.385) == doctest::Approx(0.5));
  CHECK(cauchy_weight(-2.385) == doctest::Approx(0.5));
}

// What weighted least squares settle on is where the loss is least: its slope
// is that of the square, times the weight.
TEST_CASE("Cauchy's loss is what its weights lead to the least of") {
  CHECK(cauchy_loss(0) == 0);
  constexpr double kStep = 1e-5;
  for (const double z : {0.01, 0.7, 2.385, 6.0, 40.0}) {
    CAPTURE(z);
    const double slope =
        (cauchy_loss(z + kStep) - cauchy_loss(z - kStep)) / (2 * kStep);
    CHECK(slope == doctest::Approx(2 * z * cauchy_weight(z)).epsilon(1e-6));
    CHECK(cauchy_loss(-z) == cauchy_loss(z));
  }
}
