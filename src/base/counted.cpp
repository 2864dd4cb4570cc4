// SPDX-License-Identifier: MIT
#include "base/counted.h"

#include <fmt/format.h>

namespace evenfeed {

std::string counted(std::int64_t count,
                    std::string_view one,
                    std::string_view many) {
  if (count == 1) return fmt::format("1 {}", one);
  return many.empty() ? fmt::format("{} {}s", count, one)
                      : fmt::format("{} {}", count, many);
}

}  // namespace evenfeed
