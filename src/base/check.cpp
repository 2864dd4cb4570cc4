// SPDX-License-Identifier: MIT
#include "base/check.h"

#include "base/error.h"

#include <cmath>
#include <stdexcept>
#include <string>

#include <fmt/format.h>

namespace evenfeed {
namespace {

void require_that(bool ok,
                  double value,
                  std::string_view field,
                  std::string_view allowed) {
  if (!ok) {
    throw UsageError(
        fmt::format("{} = {}: allowed is {}", field, value, allowed));
  }
}

}  // namespace

void require_finite(double value, std::string_view field) {
  require_that(std::isfinite(value), value, field, "a finite number");
}

void require_positive(double value, std::string_view field) {
  require_that(std::isfinite(value) && value > 0,
               value,
               field,
               "a finite number above 0");
}

void require_not_negative(double value, std::string_view field) {
  require_that(std::isfinite(value) && value >= 0,
               value,
               field,
               "a finite number, 0 or more");
}

void require_in_range(double value,
                      double low,
                      double high,
                      std::string_view field) {
  require_that(std::isfinite(value) && value >= low && value <= high,
               value,
               field,
               fmt::format("a number from {} to {}", low, high));
}

void require_probability(double value, std::string_view field) {
  require_that(std::isfinite(value) && value > 0 && value < 1,
               value,
               field,
               "a number above 0 and below 1");
}

void require(bool condition, std::string_view what) {
  if (!condition) throw std::logic_error(std::string(what));
}

}  // namespace evenfeed
