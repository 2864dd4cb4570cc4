// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

namespace evenfeed {

/// A place counted in int, as the standard containers want it; not negative.
constexpr std::size_t as_index(int i) { return static_cast<std::size_t>(i); }

}  // namespace evenfeed
