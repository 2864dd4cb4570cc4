// SPDX-License-Identifier: MIT
// Completions of the command line for the shells, from what the commands
// declare: commands, options, and what an option takes (files, folders, the
// profiles and scenes that ship, the words that are allowed).
#pragma once

#include "cli/command_tree.h"

#include <string>

namespace evenfeed {

[[nodiscard]] std::string bash_completion(const TreeCommand& root);
[[nodiscard]] std::string zsh_completion(const TreeCommand& root);
[[nodiscard]] std::string fish_completion(const TreeCommand& root);

}  // namespace evenfeed
