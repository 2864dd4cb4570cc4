// SPDX-License-Identifier: MIT
#include "charts/individuals.h"

#include "base/random.h"

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// NIST/SEMATECH e-Handbook 6.3.2.2, flow rate.
const std::vector<double> kFlow{
    49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

}  // namespace

TEST_CASE("individuals: NIST flow rate example") {
  const IndividualsLimits limits = individuals_limits(kFlow);
  CHECK(limits.centre == doctest::Approx(50.81));
  CHECK(limits.range_centre == doctest::Approx(1.8777777778).epsilon(1e-9));
  // Published with d2 rounded to 1.128: 55.8041 and 45.8159.
  CHECK(limits.centre + 3 * limits.range_centre / 1.128 ==
        doctest::Approx(55.8041).epsilon(1e-6));
  CHECK(limits.centre - 3 * limits.range_centre / 1.128 ==
        doctest::Approx(45.8159).epsilon(1e-6));
  CHECK(limits.upper == doctest::Approx(55.8024116801).epsilon(1e-9));
  CHECK(limits.lower == doctest::Approx(45.8175883199).epsilon(1e-9));
  CHECK(limits.range_upper == doctest::Approx(6.1338210484).epsilon(1e-9));
  IndividualsChart chart(limits);
  int points = 0;
  for (const double x : kFlow) {
    const IndividualsPoint point = chart.add(x);
    CHECK_FALSE(point.signal);  // as the handbook says
    CHECK_FALSE(point.range_signal);
    ++points;
  }
  CHECK(points == 10);
  CHECK(chart.add(60).signal);
  CHECK(chart.add(50).range_signal);
}

TEST_CASE("individuals: bad input") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(std::isnan(individuals_limits(std::vector<double>{}).centre));
  CHECK(std::isnan(individuals_limits(std::vector<double>{1}).centre));
  CHECK(std::isnan(individuals_limits(std::vector<double>{1, nan, 2}).upper));
  const IndividualsLimits flat = individuals_limits(std::vector<double>(5, 2.));
  CHECK(flat.upper == 2);
  CHECK(flat.lower == 2);
  IndividualsChart chart(individuals_limits(kFlow));
  chart.add(48);
  CHECK(std::isnan(chart.add(nan).value));
  CHECK_FALSE(chart.add(std::numeric_limits<double>::infinity()).signal);
  CHECK(std::isnan(chart.add(50).range));  // no range across the gap
  CHECK(chart.add(51).range == 1);
  CHECK_THROWS(individuals_limits(0, 1, 0, 3));
  CHECK_THROWS(individuals_limits(0, -1, 3, 3));
}
