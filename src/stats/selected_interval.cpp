// SPDX-License-Identifier: MIT
#include "stats/selected_interval.h"

#include "base/check.h"
#include "stats/distributions.h"

#include <algorithm>

namespace evenfeed {

double least_when_selected(double z,
                           double limit,
                           double degrees,
                           double tail) {
  require(limit >= 0 && z > limit, "an estimate is selected beyond its limit");
  require(degrees > 0 && tail > 0 && tail < 0.5,
          "degrees above 0 and a tail between 0 and a half");
  const auto tail_at = [&](double theta) {
    const double selected = student_t_cdf(theta - limit, degrees) +
                            student_t_cdf(-limit - theta, degrees);
    return student_t_cdf(theta - z, degrees) / selected;
  };
  const double ordinary = z - student_t_quantile(1 - tail, degrees);
  // Below -limit it is the other sign that would have been selected.
  double low = std::min(ordinary, 0.0) - limit;
  double high = ordinary;
  while (tail_at(low) > tail) low -= 1 + limit;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (tail_at(middle) > tail ? high : low) = middle;
  }
  return high;
}

}  // namespace evenfeed
