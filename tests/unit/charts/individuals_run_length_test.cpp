// SPDX-License-Identifier: MIT
#include "charts/individuals_run_length.h"

#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("individuals: run length of the 3-sigma lines") {
  CHECK(individuals_run_length(3, 0) == doctest::Approx(370.398347345));
  // Champ and Woodall (1987), Table 1, rule 1: shifts .2, 1, 2, 3.
  CHECK(individuals_run_length(3, 0.2) == doctest::Approx(308.426));
  CHECK(individuals_run_length(3, 1) == doctest::Approx(43.8947));
  CHECK(individuals_run_length(3, 2) == doctest::Approx(6.30296));
  CHECK(individuals_run_length(3, -3) == doctest::Approx(2.0));
  CHECK(individuals_width(370.398347345) == doctest::Approx(3));
}

TEST_CASE("individuals and moving range: published run lengths") {
  // Rigdon, Cruthis and Champ (1994), JQT 26:274: 200; R spc 200.057345.
  CHECK(individuals_run_length(2.992, 0, 4.139) ==
        doctest::Approx(200.057345).epsilon(2e-4));
  // Crowder (1987), JQT 19:98, prints 34.44 from a coarse quadrature; 200 000
  // simulated runs gave 34.74 +- 0.07.
  CHECK(individuals_run_length(4, 0, 3) ==
        doctest::Approx(34.64).epsilon(1e-3));
  // The customary lines, 3 sigma and D4: R spc 105.330932.
  const double d4 = (1 + 3 * 0.852502466 / 1.128379167) * 1.128379167;
  CHECK(individuals_run_length(3, 0, d4) ==
        doctest::Approx(105.330932).epsilon(2e-4));
  // A range that can never be exceeded changes nothing.
  CHECK(individuals_run_length(3, 1, 6) == individuals_run_length(3, 1));
  CHECK(individuals_run_length(3, 1, 5.9) ==
        doctest::Approx(individuals_run_length(3, 1)).epsilon(0.02));
}

TEST_CASE("individuals and moving range: lines for a run length") {
  for (const double wanted : {50.0, 370.0, 1000.0}) {
    const double width = individuals_and_range_width(wanted);
    CHECK(width > individuals_width(wanted));
    CHECK(individuals_run_length(width, 0, std::sqrt(2.0) * width) ==
          doctest::Approx(wanted).epsilon(1e-6));
  }
  CHECK_THROWS(individuals_and_range_width(1));
  CHECK_THROWS(individuals_run_length(0, 0));
  CHECK_THROWS(individuals_run_length(3, std::nan("")));
  CHECK_THROWS(individuals_run_length(3, 0, -1));
}
