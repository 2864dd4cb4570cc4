// SPDX-License-Identifier: MIT
#include "cli/run_command_line.h"

#include "base/error.h"
#include "base/nearest.h"
#include "base/printable.h"
#include "cli/command.h"
#include "cli/field_fault.h"
#include "cli/help_text.h"
#include "cli/option_fault.h"
#include "cli/print_words.h"
#include "cli/registry.h"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

int report(int code, const std::string& message) {
  print_words(fmt::format("evenfeed: {}\n", printable(message)), stderr);
  return code;
}

// The command the words led to, as far as they were understood.
const CLI::App& innermost(const CLI::App& app) {
  const auto given = app.get_subcommands();
  return given.empty() ? app : innermost(*given.front());
}

int run_guarded(Command& command, const CLI::App& called) {
  try {
    return command.run();
  } catch (const UsageError& error) {
    return report(kExitWrongUse, fault_of_field(called, error.what()));
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

std::vector<std::string> command_names(
    const std::vector<std::unique_ptr<Command>>& commands) {
  std::vector<std::string> names;
  for (const auto& command : commands) names.emplace_back(command->name());
  return names;
}

// Every command below `app`, by name.
std::vector<std::string> subcommand_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* one :
       app.get_subcommands([](const CLI::App*) { return true; })) {
    names.push_back(one->get_name());
  }
  return names;
}

std::vector<std::string> long_options(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* one : app.get_options()) {
    for (const std::string& name : one->get_lnames()) {
      names.push_back("--" + name);
    }
  }
  return names;
}

std::string fault_of_extra(const CLI::App& at, const std::string& extra) {
  const std::string word = extra.substr(0, extra.find('='));
  if (!word.starts_with("-")) {
    return fmt::format("'{}' is one word too many", extra);
  }
  return fmt::format("{} does not know {}{}",
                     called_as(at),
                     word,
                     did_you_mean(word, long_options(at)));
}

// What is wrong with a command line, in our words where CLI11's would not tell
// which word was meant.
std::string fault_of(const CLI::App& app, const CLI::ParseError& error) {
  const CLI::App& at = innermost(app);
  const std::vector<std::string> left = app.remaining(true);
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr &&
      at.get_require_subcommand_min() > 0) {
    // An option that nobody knows keeps the command from being found.
    if (!left.empty() && left.front().starts_with("-")) {
      return fault_of_extra(at, left.front());
    }
    return fmt::format("{} needs one of: {}",
                       called_as(at),
                       fmt::join(subcommand_names(at), ", "));
  }
  if (!left.empty() &&
      dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr) {
    return fault_of_extra(at, left.front());
  }
  // What is missing may be what an option that nobody knows was meant to be.
  const auto unknown =
      std::find_if(left.begin(), left.end(), [](const std::string& word) {
        return word.size() > 1 && word.starts_with("-");
      });
  if (unknown != left.end()) return fault_of_extra(at, *unknown);
  if (const auto* value = dynamic_cast<const CLI::ConversionError*>(&error)) {
    return fault_of_value(at, *value);
  }
  if (const auto* count = dynamic_cast<const CLI::ArgumentMismatch*>(&error)) {
    return fault_of_number_of_values(at, *count);
  }
  return error.what();
}

std::string as_sentence(const std::string& words) {
  return words.ends_with('?') ? words : words + ".";
}

// Of help's words: what a known command does not have below it, in a sentence.
std::string no_such_topic(CLI::App& app,
                          const std::vector<std::string>& words) {
  CLI::App* at = &app;
  for (const std::string& word : words) {
    const auto all = at->get_subcommands(
        [&](const CLI::App* one) { return one->check_name(word); });
    if (all.empty()) {
      if (at == &app) return "";  // no command: its name may be a slip
      return fmt::format("'{}' has no '{}'. See '{} --help'.",
                         called_as(*at),
                         word,
                         called_as(*at));
    }
    at = all.front();
  }
  return "";
}

int tell(const std::string& text) {
  fmt::print("{}", text);
  return kExitDone;
}

}  // namespace

int run_command_line(int argc, const char* const* argv) {
  const auto commands = all_commands();
  const Arguments program = the_program(commands);
  CLI::App& app = program.parser();

  std::vector<std::string> words(argv + std::min(argc, 1), argv + argc);
  if (words.empty() || words == std::vector<std::string>{"help"} ||
      words == std::vector<std::string>{"help", "help"} ||
      words == std::vector<std::string>{"--help"} ||
      words == std::vector<std::string>{"-h"}) {
    return tell(overview_text(commands));
  }
  if (words[0] == "help") {  // help store add = store add --help
    words.erase(words.begin());
    if (const std::string fault = no_such_topic(app, words); !fault.empty()) {
      return report(kExitWrongUse, fault);
    }
    words.push_back("--help");
  } else if (words[0] == "version") {
    words[0] = "--version";
  }
  const std::vector<std::string> names = command_names(commands);
  if (!words[0].starts_with("-") &&
      std::find(names.begin(), names.end(), words[0]) == names.end()) {
    return report(kExitWrongUse,
                  fmt::format("'{}' is not a command{} Commands: {}.",
                              words[0],
                              as_sentence(did_you_mean(words[0], names)),
                              fmt::join(names, ", ")));
  }
  try {
    std::reverse(words.begin(), words.end());  // as CLI11 wants them
    app.parse(words);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return app.exit(error);  // --help
    return report(kExitWrongUse,
                  fmt::format("{} See '{} --help'.",
                              as_sentence(fault_of(app, error)),
                              called_as(innermost(app))));
  }
  for (const auto& command : commands) {
    if (app.got_subcommand(std::string(command->name()))) {
      return run_guarded(*command, innermost(app));
    }
  }
  return kExitWrongUse;
}

}  // namespace evenfeed
