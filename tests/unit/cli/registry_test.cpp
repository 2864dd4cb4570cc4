// SPDX-License-Identifier: MIT
#include "base/atomic_file.h"
#include "cli/cmd_plan.h"
#include "cli/command.h"

#include <set>
#include <sstream>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

// CLI11 wants the words in reverse, without the program and the command.
std::vector<std::string> words_after_command(std::string_view example) {
  std::istringstream in{std::string(example)};
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.insert(words.begin(), word);
  words.pop_back();
  words.pop_back();
  return words;
}

}  // namespace

TEST_CASE("every command's worked example is one it accepts") {
  int tried = 0;
  for (const auto& command : all_commands()) {
    const std::string name(command->name());
    CAPTURE(name);
    const std::string example(command->example());
    CHECK(example.rfind("evenfeed " + name + " ", 0) == 0);
    CLI::App app;
    command->setup(app);
    CHECK_NOTHROW(app.parse(words_after_command(example)));
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
      CLI::App app;
      command->setup(app);
      CHECK_NOTHROW(app.parse(words_after_command(line)));
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
    PlanCommand command;
    CLI::App app;
    command.setup(app);
    CHECK_NOTHROW(app.parse(words_after_command(example)));
    ++tried;
  }
  CHECK(tried >= 1);
}

TEST_CASE("an example with an option nobody knows is found out") {
  for (const auto& command : all_commands()) {
    CLI::App app;
    command->setup(app);
    auto words =
        words_after_command(std::string(command->example()) + " --colour");
    CHECK_THROWS_AS(app.parse(words), CLI::ExtrasError);
  }
}

TEST_CASE("commands have names of their own and one line each") {
  std::set<std::string_view> names;
  for (const auto& command : all_commands()) {
    CHECK(names.insert(command->name()).second);
    CHECK_FALSE(command->summary().empty());
    CHECK(command->summary().find('\n') == std::string_view::npos);
    CHECK(command->summary().size() <= 100);
    CLI::App app;
    command->setup(app);
    const auto topics = app.get_subcommands([](CLI::App*) { return true; });
    for (const CLI::App* topic : topics) {
      CHECK(topic->get_option_no_throw("--quiet") != nullptr);
    }
    CHECK((!topics.empty() || app.get_option_no_throw("--quiet") != nullptr));
  }
}

}  // namespace evenfeed
