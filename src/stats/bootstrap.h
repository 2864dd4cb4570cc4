// SPDX-License-Identifier: MIT
// The bias-corrected and accelerated bootstrap interval of Efron (1987, JASA
// 82:171): quantiles of the statistic over resamples, moved by its bias and by
// how its spread changes with its value (from the jackknife).
#pragma once

#include "stats/interval.h"

#include <cstdint>
#include <functional>
#include <span>

namespace evenfeed {

/// The statistic of the cases whose indices are given; may be NaN for a
/// resample that has none, which is then left out.
using ResampledStatistic = std::function<double(std::span<const int>)>;

struct BootstrapOptions {
  int resamples = 2000;
  double confidence = 0.95;
  std::uint64_t seed = 1;
  void check() const;
};

/// Both ends NaN below 3 cases or when fewer than half of the resamples have
/// a value. A statistic that never changes gives an interval of width 0.
[[nodiscard]] Interval bootstrap_interval(int cases,
                                          const ResampledStatistic& statistic,
                                          const BootstrapOptions& options);

}  // namespace evenfeed
