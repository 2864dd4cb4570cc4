// SPDX-License-Identifier: MIT
#include "stats/multiplicity.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

std::vector<double> holm_adjusted(std::span<const double> p) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < p.size(); ++i) {
    if (std::isnan(p[i])) continue;
    require(p[i] >= 0 && p[i] <= 1, "holm_adjusted: p within 0 to 1");
    order.push_back(i);
  }
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return p[a] < p[b];
  });
  std::vector<double> adjusted(p.begin(), p.end());
  double least = 0;
  for (std::size_t k = 0; k < order.size(); ++k) {
    const double times = static_cast<double>(order.size() - k);
    least = std::max(least, std::min(1.0, times * p[order[k]]));
    adjusted[order[k]] = least;
  }
  return adjusted;
}

}  // namespace evenfeed
