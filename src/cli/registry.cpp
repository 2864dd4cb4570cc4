// SPDX-License-Identifier: MIT
#include "cli/command.h"

namespace evenfeed {

std::vector<std::unique_ptr<Command>> all_commands() {
  std::vector<std::unique_ptr<Command>> commands;
  return commands;
}

}  // namespace evenfeed
