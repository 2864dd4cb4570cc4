// SPDX-License-Identifier: MIT
#include "stats/least_value.h"

#include "base/check.h"

#include <cmath>
#include <limits>

#include <boost/math/tools/minima.hpp>

namespace evenfeed {

LeastValue least_value_between(const std::function<double(double)>& f,
                               double low,
                               double high) {
  // Half the digits of a double: more a minimum cannot give.
  const auto [at, value] = boost::math::tools::brent_find_minima(
      f, low, high, std::numeric_limits<double>::digits / 2);
  return {at, value};
}

LeastValue least_value_above_zero(const std::function<double(double)>& f,
                                  double scale) {
  require(std::isfinite(scale) && scale > 0,
          "the scale of a search is not > 0");
  constexpr int kPerDecade = 2;
  constexpr int kFirst = -6 * kPerDecade;
  constexpr int kLast = 8 * kPerDecade;
  const auto point = [scale](int i) {
    return scale * std::pow(10.0, static_cast<double>(i) / kPerDecade);
  };
  LeastValue best{0, f(0)};
  int best_i = kFirst - 1;  // stands for 0
  for (int i = kFirst; i <= kLast; ++i) {
    const double value = f(point(i));
    if (value < best.value) {
      best = {point(i), value};
      best_i = i;
    }
  }
  const double low = best_i <= kFirst ? 0 : point(best_i - 1);
  const double high = point(std::min(best_i + 1, kLast));
  const LeastValue found = least_value_between(f, low, high);
  return found.value < best.value ? found : best;
}

}  // namespace evenfeed
