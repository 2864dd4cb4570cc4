// SPDX-License-Identifier: MIT
#include "charts/heavy_tails.h"

#include "base/random.h"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Rows of t with `tails` degrees of freedom, one scale a row; 0: normal.
Eigen::MatrixXd rows_of(int n, int p, double tails) {
  RandomEngine engine = derived_engine(128, "tails");
  std::normal_distribution<double> normal;
  Eigen::MatrixXd rows(n, p);
  for (int i = 0; i < n; ++i) {
    double scale = 1;
    if (tails > 0) {
      std::chi_squared_distribution<double> chi(tails);
      scale = std::sqrt(tails / chi(engine));
    }
    for (int j = 0; j < p; ++j) rows(i, j) = scale * normal(engine);
  }
  return rows;
}

}  // namespace

TEST_CASE("heavy tails: factors from the tables of F, t and chi-squared") {
  // F(4, 8) 14.39, chi-squared(4) 18.47 at 0.001; t(8) 3.355 and normal 2.576
  // at 0.005 on either side: the usual printed tables.
  CHECK(heavy_tail_factor(4, 8, 0.001) ==
        doctest::Approx(0.75 * 4 * 14.39 / 18.47).epsilon(0.001));
  CHECK(heavy_tail_factor(1, 8, 0.01) ==
        doctest::Approx(0.75 * std::pow(3.355 / 2.576, 2)).epsilon(0.001));
  CHECK(heavy_tail_factor(4, kNormalTails, 0.001) == 1);
  CHECK(heavy_tail_factor(4, 1e6, 0.001) == doctest::Approx(1).epsilon(1e-3));
  CHECK_THROWS(heavy_tail_factor(0, 8, 0.001));
  CHECK_THROWS(heavy_tail_factor(4, 2, 0.001));
}

TEST_CASE("heavy tails: what the rows say, and what is believed") {
  // The kurtosis of t(10) is (10 - 2)/(10 - 4) of the normal one.
  const Eigen::MatrixXd wild = rows_of(40000, 3, 10);
  CHECK(degrees_from_kurtosis(wild, 8, 0) == doctest::Approx(10).epsilon(0.15));
  const Eigen::MatrixXd normal = rows_of(40000, 3, 0);
  CHECK(degrees_from_kurtosis(normal, 8, 0) > 80);
  // Few rows change a belief by little, and no rows by nothing.
  const double few = degrees_from_kurtosis(normal.topRows(25), 8, 50);
  CHECK(few > 8);
  CHECK(few < 14);
  CHECK(degrees_from_kurtosis(normal.topRows(4), 8, 50) == 8);
  CHECK(degrees_from_kurtosis(Eigen::MatrixXd::Ones(30, 2), 8, 50) == 8);
  CHECK(degrees_from_kurtosis(normal, kNormalTails, 50) == kNormalTails);
}
