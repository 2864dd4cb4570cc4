// SPDX-License-Identifier: MIT
#include "flight/residual_scatter.h"

#include "base/random.h"

#include <cmath>
#include <cstddef>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Flights of 40 sightings whose errors of sd `sd` remember the last by `rho`.
std::vector<std::vector<double>> flights(int count, double sd, double rho) {
  RandomEngine random = derived_engine(1, "residual scatter", count);
  std::normal_distribution<double> normal(0, 1);
  std::vector<std::vector<double>> all;
  for (int i = 0; i < count; ++i) {
    std::vector<double> r{sd * normal(random), sd * normal(random)};
    while (r.size() < 80) {
      r.push_back(rho * r[r.size() - 2] +
                  std::sqrt(1 - rho * rho) * sd * normal(random));
    }
    all.push_back(std::move(r));
  }
  return all;
}

}  // namespace

TEST_CASE("errors of a size that was not stated are told, independent ones") {
  const auto seen = residual_scatter(flights(50, 1.7, 0), 4000);
  CHECK(std::abs(seen.scatter - 1.7) < 0.1);
  CHECK(seen.sightings_per_error < 1.3);
}

// The mean of an autoregression of first order has (1 + rho) / (1 - rho) times
// the variance (from memory); a little less in 40 of it.
TEST_CASE("errors that remember count for fewer") {
  const auto seen = residual_scatter(flights(50, 1, 0.5), 4000);
  CHECK(seen.sightings_per_error > 2.6);
  CHECK(seen.sightings_per_error < 3.3);
}

// One in forty, or a single one of a session: 58 sigmas in 20 feeds of 8
// sightings would make 0.7 of what is stated nearly 7.
TEST_CASE("outliers are no scatter, nor do they hide that errors remember") {
  auto residuals = flights(50, 1, 0.5);
  for (auto& r : residuals) r[30] = 400;
  const auto seen = residual_scatter(residuals, 4000);
  CHECK(seen.sightings_per_error > 2.4);
  CHECK(seen.sightings_per_error < 3.5);
  CHECK(std::abs(seen.scatter - 1) < 0.1);
}

TEST_CASE("where all scatter more than is stated, no more are outliers") {
  const auto seen = residual_scatter(flights(50, 8, 0), 4000);
  CHECK(std::abs(seen.scatter - 8) < 0.4);
}

TEST_CASE("too little is left to say") {
  const auto seen = residual_scatter(flights(1, 3, 0.5), 19);
  CHECK(seen.scatter == 1);
  CHECK(seen.sightings_per_error == 1);
}
