// SPDX-License-Identifier: MIT
#include "cli/registry.h"

#include "base/atomic_file.h"
#include "cli/cmd_plan.h"
#include "cli/command.h"

#include <set>
#include <sstream>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>
#include <fmt/format.h>

namespace evenfeed {
namespace {

// A command line as the program parses it, without running anything.
void parse(const std::string& line) {
  const auto commands = all_commands();
  const Arguments program = the_program(commands);
  std::istringstream in(line);
  std::vector<std::string> words;  // CLI11 wants them in reverse
  for (std::string word; in >> word;) words.insert(words.begin(), word);
  words.pop_back();
  program.parser().parse(words);
}

}  // namespace

TEST_CASE("every command's worked example is one it accepts") {
  int tried = 0;
  for (const auto& command : all_commands()) {
    const std::string name(command->name());
    CAPTURE(name);
    const std::string example(command->example());
    CHECK(example.rfind("evenfeed " + name + " ", 0) == 0);
    CHECK_NOTHROW(parse(example));
    CHECK_FALSE(command->task().empty());
    ++tried;
  }
  CHECK(tried >= 5);
}

TEST_CASE("every command line of the README is one the program accepts") {
  std::istringstream readme(read_file(EVENFEED_ROOT "/README.md"));
  int tried = 0;
  for (std::string line; std::getline(readme, line);) {
    if (line.rfind("evenfeed ", 0) != 0) continue;
    CAPTURE(line);
    bool known = false;
    for (const auto& command : all_commands()) {
      const std::string start = "evenfeed " + std::string(command->name());
      if (line.rfind(start + " ", 0) != 0) continue;
      known = true;
      CHECK_NOTHROW(parse(line));
    }
    CHECK(known);
    ++tried;
  }
  CHECK(tried >= 7);
}

TEST_CASE("every topic of plan has a worked example that it accepts") {
  int tried = 0;
  for (const auto& topic : plan_topics()) {
    const std::string example(topic->example());
    CAPTURE(example);
    CHECK(example.rfind("evenfeed plan " + std::string(topic->name()), 0) == 0);
    CHECK_NOTHROW(parse(example));
    ++tried;
  }
  CHECK(tried >= 1);
}

TEST_CASE("an example with an option nobody knows is found out") {
  for (const auto& command : all_commands()) {
    CHECK_THROWS_AS(parse(std::string(command->example()) + " --colour"),
                    CLI::ExtrasError);
  }
}

TEST_CASE("commands have names of their own and one line each") {
  std::set<std::string_view> names;
  for (const auto& command : all_commands()) {
    const std::string name(command->name());
    CAPTURE(name);
    CHECK(names.insert(command->name()).second);
    CHECK_FALSE(command->summary().empty());
    CHECK(command->summary().find('\n') == std::string_view::npos);
    CHECK(command->summary().size() <= 100);
    Arguments args("", std::string(command->name()));
    command->setup(args);
    const CLI::App& app = args.parser();
    const auto topics =
        app.get_subcommands([](const CLI::App*) { return true; });
    for (const CLI::App* topic : topics) {
      CHECK(topic->get_option_no_throw("--quiet") != nullptr);
      CHECK(topic->get_option_no_throw("--json") != nullptr);
    }
    // What live tells is one line of JSON an event in its journal.
    CHECK((name == "live" || !topics.empty() ||
           app.get_option_no_throw("--json") != nullptr));
    CHECK((!topics.empty() || app.get_option_no_throw("--quiet") != nullptr));
  }
}

}  // namespace evenfeed

namespace evenfeed {

TEST_CASE("every subcommand's help has an example, each of which is accepted") {
  const auto commands = all_commands();
  const Arguments program = the_program(commands);
  int tried = 0;
  const auto below = [](const CLI::App& app) {
    return app.get_subcommands([](const CLI::App*) { return true; });
  };
  for (const CLI::App* command : below(program.parser())) {
    for (const CLI::App* sub : below(*command)) {
      std::istringstream footer(sub->get_footer());
      int examples = 0;
      for (std::string line; std::getline(footer, line);) {
        const std::string start = fmt::format(
            "  evenfeed {} {} ", command->get_name(), sub->get_name());
        if (!line.starts_with(start)) continue;
        CAPTURE(line);
        CHECK_NOTHROW(parse(line.substr(0, line.find(" >"))));
        ++examples;
      }
      CHECK(examples >= 1);
      ++tried;
    }
  }
  CHECK(tried >= 12);
}

}  // namespace evenfeed
