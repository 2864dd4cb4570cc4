// SPDX-License-Identifier: MIT
// The one list of commands.
#pragma once

#include "cli/command.h"

#include <memory>
#include <vector>

namespace evenfeed {

/// A fresh instance of every command, in the order of the help.
std::vector<std::unique_ptr<Command>> all_commands();

/// The program with all that `commands` declare, ready to parse.
Arguments the_program(const std::vector<std::unique_ptr<Command>>& commands);

}  // namespace evenfeed
