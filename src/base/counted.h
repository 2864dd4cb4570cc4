// SPDX-License-Identifier: MIT
// Numbers of things in sentences.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace evenfeed {

/// "1 feed", "2 feeds"; "2 entries" when `many` is given.
[[nodiscard]] std::string counted(std::int64_t count,
                                  std::string_view one,
                                  std::string_view many = {});

}  // namespace evenfeed
