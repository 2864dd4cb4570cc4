// SPDX-License-Identifier: MIT
// The median over pictures, pixel by pixel, many pixels at a time: compare and
// exchange between whole rows is the same work for every pixel, which a
// compiler turns into vector instructions.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace evenfeed {

/// The smaller of each pair of values goes to `low`, the larger to `high`.
template <typename T>
void order(T* __restrict low, T* __restrict high, int count) {
  for (int u = 0; u < count; ++u) {
    const T a = low[u];
    const T b = high[u];
    low[u] = a < b ? a : b;
    high[u] = a < b ? b : a;
  }
}

/// Orders the values of each column over `rows` (at least one, each `count`
/// long) far enough that rows[n / 2] and, with two rows or more,
/// rows[n / 2 - 1] hold what they would if all were sorted.
template <typename T>
void sort_to_middle(const std::vector<T*>& rows, int count) {
  const std::size_t n = rows.size();
  const std::size_t last = std::max<std::size_t>(n / 2, 2) - 1;
  // Each pass carries the largest that is left to its place.
  for (std::size_t place = n - 1; place >= last; --place) {
    for (std::size_t i = 0; i < place; ++i) order(rows[i], rows[i + 1], count);
  }
}

}  // namespace evenfeed
