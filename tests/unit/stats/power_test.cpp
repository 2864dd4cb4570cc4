// SPDX-License-Identifier: MIT
#include "stats/power.h"

#include "base/error.h"

#include <cmath>
#include <random>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {
doctest::Approx near_power(double x) {
  return doctest::Approx(x).epsilon(1e-7);
}
}  // namespace

TEST_CASE("pairs for a paired t test") {
  // R: pwr::pwr.t.test(d = , power = , type = "paired")
  CHECK(paired_t_size(0.5, {0.05, 0.8}) == near_power(33.3671291391));
  CHECK(paired_t_size(0.5, {0.05, 0.9}) == near_power(43.9954813808));
  CHECK(paired_t_size(0.2, {0.05, 0.8}) == near_power(198.150821655));
  CHECK(paired_t_size(-0.5, {0.05, 0.8}) == near_power(33.3671291391));
  CHECK(std::isinf(paired_t_size(0, {})));
  CHECK(std::ceil(paired_t_size(50, {})) == 2);
}

TEST_CASE("values for a two-sample t test") {
  // R: power.t.test(delta = 1, sd = 1, power = 0.9)
  // (R counts the far tail out and solves to four digits.)
  CHECK(two_sample_t_size(1, {0.05, 0.9}) ==
        doctest::Approx(22.0210977039).epsilon(1e-5));
}

TEST_CASE("cases for two shares") {
  // R: power.prop.test(p1 = , p2 = , power = )
  CHECK(two_share_size(0.5, 0.75, {0.05, 0.9}) == near_power(76.7069301141));
  CHECK(two_share_size(0.6, 0.8, {0.05, 0.8}) == near_power(81.2242411518));
  CHECK(std::isinf(two_share_size(0.3, 0.3, {})));
}

TEST_CASE("pairs for McNemar's test") {
  // From the formula of Connett, Smith and McHugh (1987).
  CHECK(mcnemar_size(0.3, 0.1, {0.05, 0.8}) == near_power(233.094538205));
  CHECK_THROWS_AS(mcnemar_size(0.1, 0.3, {}), std::logic_error);
}

TEST_CASE("the detectable difference is found as often as it says") {
  const TestAim aim{0.05, 0.8};
  const double shift = detectable_noncentrality(19, aim);
  CHECK(student_power(shift, 19, aim.alpha) == near_power(0.8));
  CHECK(student_power(0, 19, 0.05) == near_power(0.05));
  CHECK(student_power(100, 19, 0.05) == 1);
  // 20 values with sd 1: R qt(0.975, 19) = 2.093024
  std::mt19937 random(2);
  std::normal_distribution<double> noise(shift / std::sqrt(20.0), 1);
  int found = 0;
  constexpr int kRuns = 8000;
  for (int run = 0; run < kRuns; ++run) {
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < 20; ++i) {
      const double x = noise(random);
      sum += x;
      squares += x * x;
    }
    const double sd = std::sqrt((squares - sum * sum / 20) / 19);
    found += std::abs(sum / 20) / (sd / std::sqrt(20.0)) > 2.093024;
  }
  CHECK(found == doctest::Approx(0.8 * kRuns).epsilon(0.02));
}

TEST_CASE("aims that cannot be") {
  CHECK_THROWS_AS(paired_t_size(0.5, {0, 0.8}), UsageError);
  CHECK_THROWS_AS(paired_t_size(0.5, {0.05, 1}), UsageError);
  CHECK_THROWS_AS(paired_t_size(NAN, {}), std::logic_error);
  CHECK_THROWS_AS(two_share_size(1.2, 0.1, {}), std::logic_error);
}
