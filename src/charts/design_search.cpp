// SPDX-License-Identifier: MIT
#include "charts/design_search.h"

#include "base/error.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

double find_limit(const std::function<double(double)>& run_length_of,
                  double wanted,
                  double low,
                  double high) {
  const auto excess = [&](double limit) {
    return std::log(run_length_of(limit) / wanted);
  };
  double f_low = excess(low);
  double f_high = excess(high);
  if (!(f_low < 0 && f_high > 0)) {
    throw UsageError(
        fmt::format("run_length = {}: allowed here is {:.0f} to {:.0f}",
                    wanted,
                    std::ceil(wanted * std::exp(f_low)),
                    std::floor(wanted * std::exp(f_high))));
  }
  for (int i = 0; i < 100; ++i) {
    const double middle = (low * f_high - high * f_low) / (f_high - f_low);
    const double f_middle = excess(middle);
    if (std::abs(f_middle) < 1e-10 || high - low < 1e-12) return middle;
    if (f_middle < 0) {
      low = middle;
      f_low = f_middle;
      f_high /= 2;  // so that the other end moves too
    } else {
      high = middle;
      f_high = f_middle;
      f_low /= 2;
    }
  }
  return (low + high) / 2;
}

}  // namespace evenfeed
