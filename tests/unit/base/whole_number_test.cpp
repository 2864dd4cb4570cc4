// SPDX-License-Identifier: MIT
#include "base/whole_number.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("only what an int holds without loss is a whole number") {
  CHECK(whole_number(0) == 0);
  CHECK(whole_number(-17) == -17);
  CHECK(whole_number(1e9) == kLargestWhole);
  for (const double value : {2.5,
                             1e10,
                             -1e300,
                             std::numeric_limits<double>::infinity(),
                             std::numeric_limits<double>::quiet_NaN()}) {
    CHECK_FALSE(whole_number(value));
  }
}
