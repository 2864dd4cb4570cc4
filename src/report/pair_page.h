// SPDX-License-Identifier: MIT
// A comparison as one page that fetches nothing.
#pragma once

#include "report/pair_input.h"
#include "report/take_away.h"

#include <string>
#include <vector>

namespace evenfeed {

/// pair.html: what was found, what the test cannot tell, where the feeds come
/// from, the intervals, every trial, the flights, the balance. Names from files
/// are escaped.
[[nodiscard]] std::string pair_page(const PairInput& input);

/// Its drawings, in the order of the page.
[[nodiscard]] std::vector<Drawing> pair_drawings(const PairInput& input);

}  // namespace evenfeed
