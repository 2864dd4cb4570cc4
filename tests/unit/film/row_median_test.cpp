// SPDX-License-Identifier: MIT
#include "film/row_median.h"

#include "base/random.h"

#include <cstdint>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("the middle rows hold what sorting each column would give") {
  RandomEngine random = derived_engine(3, "row median");
  std::uniform_int_distribution<int> value(-300, 300);
  constexpr int kWidth = 37;
  for (std::size_t n = 1; n <= 33; ++n) {
    CAPTURE(n);
    std::vector<std::vector<std::int16_t>> rows(n);
    std::vector<std::int16_t*> pointers;
    for (auto& row : rows) {
      for (int u = 0; u < kWidth; ++u) {
        row.push_back(static_cast<std::int16_t>(value(random)));
      }
      pointers.push_back(row.data());
    }
    const auto before = rows;
    sort_to_middle(pointers, kWidth);
    for (std::size_t u = 0; u < kWidth; ++u) {
      std::vector<std::int16_t> column;
      for (const auto& row : before) column.push_back(row[u]);
      std::sort(column.begin(), column.end());
      CHECK(rows[n / 2][u] == column[n / 2]);
      if (n >= 2) CHECK(rows[n / 2 - 1][u] == column[n / 2 - 1]);
    }
  }
}
