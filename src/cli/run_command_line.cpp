// SPDX-License-Identifier: MIT
#include "base/error.h"
#include "cli/command.h"

#include <cstdio>
#include <exception>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {
namespace {

int report(int code, const std::string& message) {
  fmt::print(stderr, "evenfeed: {}\n", message);
  return code;
}

int run_guarded(Command& command) {
  try {
    return command.run();
  } catch (const UsageError& error) {
    return report(kExitWrongUse, error.what());
  } catch (const InputError& error) {
    return report(kExitFailed, error.what());
  } catch (const std::bad_alloc&) {
    return report(kExitFailed,
                  "out of memory. Close other programs or use a "
                  "shorter film.");
  } catch (const std::exception& error) {
    return report(kExitFailed,
                  fmt::format("a fault in the program itself: {}. Please "
                              "report it with the command you ran.",
                              error.what()));
  }
}

// The first word when it is neither an option nor a command; else nullptr.
const char* unknown_command(
    int argc,
    const char* const* argv,
    const std::vector<std::unique_ptr<Command>>& commands) {
  if (argc < 2 || argv[1][0] == '-') return nullptr;
  for (const auto& command : commands) {
    if (command->name() == argv[1]) return nullptr;
  }
  return argv[1];
}

std::string names_of(const std::vector<std::unique_ptr<Command>>& commands) {
  std::string names;
  for (const auto& command : commands) {
    names += (names.empty() ? "" : ", ") + std::string(command->name());
  }
  return names;
}

}  // namespace

int run_command_line(int argc, const char* const* argv) {
  CLI::App app{
      "Measures what a ball launcher feeds, and says whether it is "
      "even enough to compare rubbers with.",
      "evenfeed"};
  app.require_subcommand(1);
  app.set_version_flag("--version", EVENFEED_VERSION);
  const auto commands = all_commands();
  for (const auto& command : commands) {
    CLI::App* sub = app.add_subcommand(std::string(command->name()),
                                       std::string(command->summary()));
    sub->footer(fmt::format("Example:\n  {}", command->example()));
    command->setup(*sub);
  }
  if (const char* word = unknown_command(argc, argv, commands)) {
    return report(
        kExitWrongUse,
        fmt::format(
            "'{}' is not a command. Commands: {}.", word, names_of(commands)));
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);  // --help
    return report(
        kExitWrongUse,
        fmt::format("{}. See 'evenfeed{} --help'.",
                    error.what(),
                    app.get_subcommands().empty()
                        ? ""
                        : " " + app.get_subcommands()[0]->get_name()));
  }
  for (const auto& command : commands) {
    if (app.got_subcommand(std::string(command->name()))) {
      return run_guarded(*command);
    }
  }
  return kExitWrongUse;
}

}  // namespace evenfeed
