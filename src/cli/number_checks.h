// SPDX-License-Identifier: MIT
// Checks of numbers on the command line that say what is allowed. (CLI11's own
// name the largest double, all 309 digits of it.)
#pragma once

#include <CLI/CLI.hpp>

namespace evenfeed {

[[nodiscard]] CLI::Validator above_zero();
[[nodiscard]] CLI::Validator zero_or_more();

}  // namespace evenfeed
