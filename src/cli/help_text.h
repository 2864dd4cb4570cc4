// SPDX-License-Identifier: MIT
// What --help says, within 80 columns.
#pragma once

#include "cli/command.h"

#include <string>

namespace evenfeed {

/// Of one command: what it does, how it is called, examples, its options.
std::string help_text(const CLI::App& command);

/// Of the program: every command under its task, and where to read on.
std::string overview_text(const std::vector<std::unique_ptr<Command>>& all);

/// "evenfeed store add": the words that call a command.
std::string called_as(const CLI::App& command);

/// "--out FILE", "FEEDS..." as people write it; optional ones as they are.
std::string option_words(const CLI::Option& option);
/// "FILE", "NUMBER", or what the option says it takes; empty for a flag.
std::string value_word(const CLI::Option& option);
/// What it is for, with what must be given and what it is by itself.
std::string option_meaning(const CLI::Option& option);

}  // namespace evenfeed
