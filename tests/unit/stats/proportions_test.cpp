// SPDX-License-Identifier: MIT
#include "stats/proportions.h"

#include "support/statistics_data.h"

#include <cmath>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

int whole(const CsvTable& table, std::size_t row, const char* name) {
  return static_cast<int>(
      table.require_number(row, table.require_column(name)));
}
double real(const CsvTable& table, std::size_t row, const char* name) {
  return table.require_number(row, table.require_column(name));
}
doctest::Approx near_share(double x) {
  return doctest::Approx(x).epsilon(1e-9);
}

}  // namespace

TEST_CASE("intervals of one share") {
  const CsvTable table = statistics_table("binomial_intervals.csv");
  REQUIRE(table.rows() == 9);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const Share share{whole(table, r, "x"), whole(table, r, "n")};
    CAPTURE(share.yes);
    CAPTURE(share.all);
    const Interval wilson = wilson_interval(share, 0.95);
    CHECK(wilson.low == near_share(real(table, r, "wilson_lo")));
    CHECK(wilson.high == near_share(real(table, r, "wilson_hi")));
    const Interval exact = clopper_pearson_interval(share, 0.95);
    CHECK(exact.low == near_share(real(table, r, "cp_lo")));
    CHECK(exact.high == near_share(real(table, r, "cp_hi")));
  }
}

TEST_CASE("the exact interval ends where a tail holds 2.5 %") {
  // By its definition, counted out.
  const Share share{3, 10};
  const Interval exact = clopper_pearson_interval(share, 0.95);
  const auto tail = [&](double p, bool upper) {
    double sum = 0;
    for (int x = 0; x <= share.all; ++x) {
      if (upper ? x < share.yes : x > share.yes) continue;
      sum += std::tgamma(share.all + 1) /
             (std::tgamma(x + 1) * std::tgamma(share.all - x + 1)) *
             std::pow(p, x) * std::pow(1 - p, share.all - x);
    }
    return sum;
  };
  CHECK(tail(exact.low, true) == near_share(0.025));
  CHECK(tail(exact.high, false) == near_share(0.025));
}

TEST_CASE("differences of two shares") {
  const CsvTable table = statistics_table("newcombe_unpaired.csv");
  REQUIRE(table.rows() == 8);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const Interval got =
        newcombe_difference({whole(table, r, "a"), whole(table, r, "m")},
                            {whole(table, r, "b"), whole(table, r, "n")},
                            0.95);
    CAPTURE(r);
    CHECK(got.low == near_share(real(table, r, "lo")));
    CHECK(got.high == near_share(real(table, r, "hi")));
  }
}

TEST_CASE("differences of paired shares") {
  const CsvTable table = statistics_table("newcombe_paired.csv");
  REQUIRE(table.rows() == 7);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    const PairedCounts counts{whole(table, r, "e"),
                              whole(table, r, "f"),
                              whole(table, r, "g"),
                              whole(table, r, "h")};
    CAPTURE(r);
    CHECK(counts.difference() == near_share(real(table, r, "diff")));
    const Interval got = newcombe_paired_difference(counts, 0.95);
    CHECK(got.low == near_share(real(table, r, "lo")));
    CHECK(got.high == near_share(real(table, r, "hi")));
  }
}

TEST_CASE("exact McNemar test") {
  // R: binom.test(b, b + c)$p.value
  CHECK(mcnemar_exact_p({794, 86, 150, 570}) == near_share(3.71593613957e-05));
  CHECK(mcnemar_exact_p({0, 3, 9, 0}) == near_share(0.14599609375));
  CHECK(mcnemar_exact_p({4, 1, 7, 4}) == near_share(0.0703125));
  CHECK(mcnemar_exact_p({0, 5, 15, 0}) == near_share(0.041389465332));
  CHECK(mcnemar_exact_p({3, 0, 0, 5}) == 1);
  CHECK(mcnemar_exact_p({0, 4, 4, 0}) == 1);
}

TEST_CASE("Fisher's exact test") {
  // R: fisher.test; the tea taster, and Fisher's convictions.
  CHECK(fisher_exact_p({3, 4}, {1, 4}) == near_share(0.485714285714));
  CHECK(fisher_exact_p({2, 17}, {10, 13}) == near_share(0.000536724119143));
  CHECK(fisher_exact_p({0, 5}, {0, 9}) == 1);
  CHECK(fisher_exact_p({5, 5}, {9, 9}) == 1);
}

TEST_CASE("success rates in small samples") {
  // Common practice when serves are counted (no source): 2 of 13, 9 of 14, 12
  // of 13. R: binom::binom.wilson, fisher.test.
  const Interval few = wilson_interval({2, 13}, 0.95);
  const Interval many = wilson_interval({12, 13}, 0.95);
  CHECK(few.high < many.low);
  CHECK(fisher_exact_p({2, 13}, {12, 13}) < 0.001);
  CHECK(newcombe_difference({12, 13}, {2, 13}, 0.95).low > 0);
  CHECK(fisher_exact_p({9, 15}, {9, 14}) == near_share(1));
  CHECK(newcombe_difference({9, 15}, {9, 14}, 0.95).contains(0));
}

TEST_CASE("shares that cannot be") {
  CHECK_THROWS_AS(wilson_interval({1, 0}, 0.95), std::logic_error);
  CHECK_THROWS_AS(wilson_interval({-1, 5}, 0.95), std::logic_error);
  CHECK_THROWS_AS(wilson_interval({6, 5}, 0.95), std::logic_error);
  CHECK_THROWS_AS(wilson_interval({1, 5}, 1), std::logic_error);
  CHECK_THROWS_AS(clopper_pearson_interval({1, 5}, NAN), std::logic_error);
  CHECK_THROWS_AS(fisher_exact_p({6, 5}, {1, 5}), std::logic_error);
  CHECK_THROWS_AS(mcnemar_exact_p({0, -1, 2, 0}), std::logic_error);
  CHECK(wilson_interval({0, 1}, 0.95).low == 0);
  CHECK(wilson_interval({1, 1}, 0.95).high == 1);
}
