// SPDX-License-Identifier: MIT
// All commands and options as plain data, read off what the commands declare:
// what manual pages and completions are written from.
#pragma once

#include "cli/command.h"

#include <string>
#include <vector>

namespace evenfeed {

struct TreeOption {
  std::string words;    ///< "--out FILE" or "FEEDS..."
  std::string meaning;  ///< as --help says it
  std::string name;     ///< "--out"; empty for what is given by its place
  std::string value;    ///< "FILE", "FOLDER", "PROFILE", ...; empty: a flag
  std::string group;
  std::vector<std::string> choices;  ///< the words that are allowed
  bool required = false;
};

struct TreeCommand {
  std::string path;  ///< "session", "store list"; empty: the program itself
  std::string name;
  std::string summary;
  std::string task;
  std::vector<std::string> examples;
  std::vector<TreeOption> options;
  std::vector<TreeCommand> below;
};

/// The program with everything below it.
[[nodiscard]] TreeCommand command_tree();

/// `root` and everything below, a command before what is below it.
[[nodiscard]] std::vector<const TreeCommand*> all_below(
    const TreeCommand& root);

}  // namespace evenfeed
