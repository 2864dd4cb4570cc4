// SPDX-License-Identifier: MIT
#include "stats/signed_rank.h"

#include "support/statistics_data.h"

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

doctest::Approx near(double x) { return doctest::Approx(x).epsilon(1e-9); }

std::vector<double> depression() {
  const CsvTable table = statistics_table("wilcoxon_depression.csv");
  const auto x = column_of(table, "x");
  const auto y = column_of(table, "y");
  std::vector<double> d;
  for (std::size_t i = 0; i < x.size(); ++i) d.push_back(x[i] - y[i]);
  return d;
}

// P(V >= v or V <= total - v) by trying every sign.
double by_enumeration(const SignedRank& test, double p_positive) {
  const auto n = static_cast<std::size_t>(test.n);
  double total = 0;
  for (const double r : test.ranks) total += r;
  const double larger = std::max(test.positive, total - test.positive);
  double tail = 0;
  for (std::size_t signs = 0; signs < (std::size_t{1} << n); ++signs) {
    double v = 0;
    double chance = 1;
    for (std::size_t i = 0; i < n; ++i) {
      const bool positive = (signs >> i) & 1;
      v += positive ? test.ranks[i] : 0;
      chance *= positive ? p_positive : 1 - p_positive;
    }
    if (v >= larger - 1e-9) tail += chance;
  }
  return std::min(1.0, 2 * tail);
}

}  // namespace

TEST_CASE("Hollander and Wolfe's depression scores") {
  // Hollander and Wolfe (1973), p. 29; R: wilcox.test(x, y, paired = TRUE,
  // conf.int = TRUE)
  const std::vector<double> d = depression();
  REQUIRE(d.size() == 9);
  const SignedRank test = signed_rank(d);
  CHECK(test.positive == 40);
  CHECK(signed_rank_p(test) == near(0.0390625));
  const HodgesLehmann hl = hodges_lehmann(d, 0.95);
  CHECK(hl.estimate == near(0.46));
  CHECK(hl.interval.low == near(0.01));
  CHECK(hl.interval.high == near(0.786));
}

TEST_CASE("R's sleep data: a zero and ties") {
  // R: sleep; 9 differences that are not 0, V = 45, exact p 2 / 2^9.
  const std::vector<double> d{1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4};
  const SignedRank test = signed_rank(d);
  CHECK(test.n == 9);
  CHECK(test.positive == 45);
  CHECK(signed_rank_p(test) == near(0.00390625));
}

TEST_CASE("p against every sign tried, with ties and hidden odds") {
  std::mt19937 random(5);
  int tried = 0;
  for (int round = 0; round < 30; ++round) {
    std::vector<double> d;
    for (int i = 0; i < 9; ++i) {
      d.push_back(static_cast<double>(random() % 9) - 3);
    }
    const SignedRank test = signed_rank(d);
    if (!test.ok) continue;
    for (const double odds : {1.0, 1.7, 4.0}) {
      CHECK(signed_rank_p(test, odds) ==
            near(by_enumeration(test, odds / (1 + odds))));
      ++tried;
    }
  }
  CHECK(tried >= 80);
}

TEST_CASE("exact and normal agree where one takes over from the other") {
  std::vector<double> d;
  for (int i = 1; i <= 201; ++i) d.push_back(i % 5 < 2 ? -i : i + 0.5);
  const std::vector<double> fewer(d.begin(), d.end() - 1);
  const double exact = signed_rank_p(signed_rank(fewer));
  const double normal = signed_rank_p(signed_rank(d));
  CHECK(exact == doctest::Approx(normal).epsilon(0.1));
}

TEST_CASE("the interval holds the true shift as often as it says") {
  std::mt19937 random(11);
  std::normal_distribution<double> noise(0.7, 1);
  for (const int n : {12, 60}) {
    int held = 0;
    constexpr int kRuns = 2000;
    for (int run = 0; run < kRuns; ++run) {
      std::vector<double> d;
      for (int i = 0; i < n; ++i) d.push_back(noise(random));
      held += hodges_lehmann(d, 0.95).interval.contains(0.7);
    }
    CAPTURE(n);
    // 95 %, exact and so never less; 3 standard errors are 1.5 %.
    CHECK(held >= 0.935 * kRuns);
    CHECK(held <= 0.975 * kRuns);
  }
}

TEST_CASE("signed ranks of what has none") {
  CHECK_FALSE(signed_rank({}).ok);
  CHECK(signed_rank_p(signed_rank({})) == 1);
  const std::vector<double> zeros{0, 0, 0};
  CHECK_FALSE(signed_rank(zeros).ok);
  const std::vector<double> bad{1, NAN};
  CHECK_THROWS_AS(signed_rank(bad), std::logic_error);
  const std::vector<double> endless{1, INFINITY};
  CHECK_THROWS_AS(hodges_lehmann(endless, 0.95), std::logic_error);
  const std::vector<double> one{2};
  CHECK(hodges_lehmann(one, 0.95).estimate == 2);
  CHECK(std::isinf(hodges_lehmann(one, 0.95).interval.high));
  CHECK(std::isnan(hodges_lehmann({}, 0.95).estimate));
}
