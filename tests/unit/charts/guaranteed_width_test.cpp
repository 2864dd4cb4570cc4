// SPDX-License-Identifier: MIT
#include "charts/guaranteed_width.h"

#include "base/random.h"
#include "charts/ewma_run_length.h"
#include "charts/individuals_run_length.h"

#include <cmath>
#include <random>
#include <stdexcept>
#include <utility>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// E(s) / sigma of n normal values.
double c4(int n) {
  return std::sqrt(2.0 / (n - 1)) *
         std::exp(std::lgamma(n / 2.0) - std::lgamma((n - 1) / 2.0));
}

}  // namespace

TEST_CASE("guaranteed lines of the individuals chart are tolerance factors") {
  // Adjusted L*, lines at mean +- L* s / c4(n), for which P(run length of this
  // baseline < 370.4) = .1: quadrature; equal to k2 c4 with the exact two-sided
  // tolerance factor of R package spc (3.747385, 3.478469, 3.316250 for n = 25,
  // 50, 100).
  int checked = 0;
  for (const auto& [n, published] : {std::pair<int, double>{25, 3.7473865},
                                     {30, 3.6620274},
                                     {50, 3.478471},
                                     {100, 3.316252}}) {
    CAPTURE(n);
    CHECK(guaranteed_individuals_width(370.398347, n, 0.9) * c4(n) ==
          doctest::Approx(published).epsilon(2e-6));
    ++checked;
  }
  CHECK(checked == 4);
  // With endless values nothing is left to guarantee.
  CHECK(guaranteed_individuals_width(370.398347, 1000000, 0.9) ==
        doctest::Approx(3).epsilon(3e-3));
  CHECK_THROWS(guaranteed_individuals_width(370, 1, 0.9));
  CHECK_THROWS(guaranteed_individuals_width(370, 20, 1));
  CHECK_THROWS(guaranteed_individuals_width(1, 20, 0.9));
}

TEST_CASE("guaranteed EWMA: nine baselines in ten keep the run length") {
  const double lambda = 0.1;
  const double wanted = 500;
  const int n = 25;
  const double width = guaranteed_ewma_width(lambda, wanted, n, 0.9);
  CHECK(width > ewma_width(lambda, wanted, EwmaLimits::kGrowing));
  RandomEngine engine = derived_engine(43, "guaranteed ewma");
  std::normal_distribution<double> normal;
  std::chi_squared_distribution<double> chi(n - 1);
  int kept = 0;
  constexpr int kBaselines = 400;
  for (int b = 0; b < kBaselines; ++b) {
    const double off = normal(engine) / std::sqrt(n);
    const double q = std::sqrt(chi(engine) / (n - 1));
    kept +=
        ewma_run_length(lambda, width * q, off, EwmaLimits::kGrowing) >= wanted;
  }
  // 0.9 +- 4 standard errors of 0.015.
  CHECK(kept >= 0.84 * kBaselines);
  CHECK(kept <= 0.96 * kBaselines);
}

TEST_CASE("guaranteed range limit") {
  // The sd of 20 values is below sqrt(chi2_19(.1) / 19) = .7834 sigma in one
  // baseline of ten (R: qchisq(.1, 19) = 11.65091).
  CHECK(guaranteed_range_limit(370.398347345, 20, 0.9) ==
        doctest::Approx(3 * std::sqrt(2.0) / std::sqrt(11.65091 / 19))
            .epsilon(1e-6));
}
