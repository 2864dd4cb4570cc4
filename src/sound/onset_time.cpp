// SPDX-License-Identifier: MIT
#include "sound/onset_time.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace evenfeed {
namespace {

constexpr std::size_t kFewest = 8;
constexpr std::size_t kEdge = 2;  // a variance needs samples

}  // namespace

Onset onset_in(std::span<const double> window,
               double independent,
               double negligible) {
  const std::size_t n = window.size();
  if (n < kFewest) return {};
  std::vector<double> energy(n + 1, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    energy[i + 1] = energy[i] + window[i] * window[i];
  }
  if (!(energy[n] > 0)) return {};
  // A stretch of digital silence has no logarithm.
  const double least =
      std::max(negligible, 1e-9 * energy[n] / static_cast<double>(n));
  const auto part = [&](std::size_t from, std::size_t to) {
    const auto count = static_cast<double>(to - from);
    return count / 2 * std::log((energy[to] - energy[from]) / count + least);
  };
  std::vector<double> likelihood;
  for (std::size_t k = kEdge; k + kEdge <= n; ++k) {
    likelihood.push_back(-independent * (part(0, k) + part(k, n)));
  }
  const double best = *std::max_element(likelihood.begin(), likelihood.end());
  double sum = 0;
  double first = 0;
  double second = 0;
  for (std::size_t i = 0; i < likelihood.size(); ++i) {
    const double weight = std::exp(likelihood[i] - best);
    const auto k = static_cast<double>(i + kEdge);
    sum += weight;
    first += weight * k;
    second += weight * k * k;
  }
  Onset onset;
  onset.found = true;
  onset.place = first / sum;
  onset.sigma =
      std::sqrt(std::max(0.0, second / sum - onset.place * onset.place));
  return onset;
}

}  // namespace evenfeed
