// SPDX-License-Identifier: MIT
// Manual pages, section 1, from what the commands declare.
#pragma once

#include "cli/command_tree.h"

#include <string>

namespace evenfeed {

/// The page of the program, or of a command right below it with everything
/// below that: text for man(7).
[[nodiscard]] std::string manual_page(const TreeCommand& root,
                                      const TreeCommand& command);

}  // namespace evenfeed
