// SPDX-License-Identifier: MIT
#include "bench/world_score.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kFewest = 5;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

// Beyond these something is wrong rather than unlucky.
constexpr double kWide = 1.5;
constexpr double kFar = 3;

}  // namespace

double WorldScore::within(int quantity) const {
  const Errors& all = errors[static_cast<std::size_t>(quantity)];
  if (all.error.size() < kFewest) return kNaN;
  return Errors::rms(all.normalised());
}

double WorldScore::mean_error(int quantity) const {
  const auto q = static_cast<std::size_t>(quantity);
  if (errors[q].error.size() < kFewest) return kNaN;
  return errors[q].normalised_mean(common_sigma[q]);
}

double WorldScore::badness(std::string* words) const {
  double sum = 0;
  const auto add = [&](double weight, const std::string& what) {
    sum += weight;
    if (words) *words += (words->empty() ? "" : ", ") + what;
  };
  const double feeds = std::max(1, launches);
  if (found < bouncing) {
    add(10. * (bouncing - found) / std::max(1, bouncing),
        fmt::format("found {}/{}", found, bouncing));
  }
  if (false_rows > 0) {
    add(10 * false_rows / feeds, fmt::format("{} false", false_rows));
  }
  if (missing > 0) {
    add(5 * missing / feeds, fmt::format("{} missing", missing));
  }
  if (ghost_rows > 0) {
    add(2 * ghost_rows / feeds, fmt::format("{} ghosts", ghost_rows));
  }
  if (false_returns > 0) {
    add(5 * false_returns / feeds,
        fmt::format("{} false returns", false_returns));
  }
  if (retimed) add(10, "said to be saved again at another rate");
  for (int q = 0; q < kWorldQuantities; ++q) {
    const double wide = within(q);
    if (wide > kWide) {
      add(std::min(3., std::log(wide / kWide) + 0.2),
          fmt::format("{} {:.1f} sigma", kWorldQuantity[q].name, wide));
    }
    const double far = std::abs(mean_error(q));
    if (far > kFar) {
      add(std::min(3., std::log(far / kFar) + 0.2),
          fmt::format("mean {} {:.1f} s", kWorldQuantity[q].name, far));
    }
  }
  return sum;
}

}  // namespace evenfeed
