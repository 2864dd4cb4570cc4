// SPDX-License-Identifier: MIT
// What the random worlds draw their settings with.
#pragma once

#include "base/random.h"

#include <cmath>
#include <string_view>

namespace evenfeed {

class Draws {
 public:
  Draws(std::uint64_t seed, std::string_view use)
      : engine_(derived_engine(seed, use)) {}

  double even(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine_);
  }
  /// Evenly in the logarithm.
  double log_even(double low, double high) {
    return std::exp(even(std::log(low), std::log(high)));
  }
  double normal(double sd = 1) {
    return sd * std::normal_distribution<double>()(engine_);
  }
  bool chance(double probability) { return even(0, 1) < probability; }
  template <typename T, std::size_t n>
  const T& one_of(const T (&all)[n]) {
    return all[std::uniform_int_distribution<std::size_t>(0, n - 1)(engine_)];
  }

 private:
  RandomEngine engine_;
};

}  // namespace evenfeed
