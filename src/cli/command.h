// SPDX-License-Identifier: MIT
// A command is set up (options declared and parsed, no file touched) and then
// run. The registry in registry.cpp is the one list of them.
#pragma once

#include "cli/arguments.h"

#include <memory>
#include <string_view>
#include <vector>

namespace evenfeed {

/// Exit codes of the program.
inline constexpr int kExitDone = 0;
inline constexpr int kExitFailed = 1;
inline constexpr int kExitWrongUse = 2;
inline constexpr int kExitNotInControl = 3;  ///< only with --gate

class Command {
 public:
  virtual ~Command() = default;
  virtual std::string_view name() const = 0;
  /// One line for the list of commands.
  virtual std::string_view summary() const = 0;
  /// One worked example, shown at the end of --help.
  virtual std::string_view example() const = 0;
  /// What it is for, as a heading in the list of commands. Commands of one
  /// heading follow each other in the registry.
  virtual std::string_view task() const { return {}; }
  /// Declares its options. Touches no file.
  virtual void setup(Arguments& args) = 0;
  /// Does the work; returns an exit code, throws UsageError or InputError.
  virtual int run() = 0;
};

}  // namespace evenfeed
