// SPDX-License-Identifier: MIT
// From the command line to an exit code.
#pragma once

#include "cli/command.h"

namespace evenfeed {

/// Parses the command line, runs one command, turns every exception into one
/// message on stderr, and returns the exit code.
int run_command_line(int argc, const char* const* argv);

}  // namespace evenfeed
