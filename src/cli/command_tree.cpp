// SPDX-License-Identifier: MIT
#include "cli/command_tree.h"

#include "cli/help_text.h"
#include "cli/registry.h"

#include <map>
#include <sstream>

#include <CLI/CLI.hpp>

namespace evenfeed {
namespace {

// The words of "{a,b,c}" in what CLI11 calls the type of a checked option.
std::vector<std::string> choices_of(const CLI::Option& option) {
  const std::string type = option.get_type_name();
  const std::size_t open = type.find('{');
  const std::size_t close = type.find('}');
  std::vector<std::string> words;
  if (open == std::string::npos || close == std::string::npos) return words;
  std::istringstream list(type.substr(open + 1, close - open - 1));
  for (std::string word; std::getline(list, word, ',');) words.push_back(word);
  return words;
}

TreeOption tree_option(const CLI::Option& option) {
  TreeOption one;
  one.words = option_words(option);
  one.meaning = option_meaning(option);
  one.value = value_word(option);
  one.group = option.get_group();
  one.choices = choices_of(option);
  one.required = option.get_required();
  if (option.get_positional()) return one;
  one.name = option.get_lnames().empty() ? "-" + option.get_snames().front()
                                         : "--" + option.get_lnames().front();
  return one;
}

std::vector<std::string> examples_in(const std::string& footer) {
  std::vector<std::string> lines;
  std::istringstream text(footer);
  for (std::string line; std::getline(text, line);) {
    if (line.starts_with("  ")) lines.push_back(line.substr(2));
  }
  return lines;
}

TreeCommand tree_of(const CLI::App& app, const std::string& path) {
  TreeCommand command;
  command.path = path;
  command.name = app.get_name();
  command.summary = app.get_description();
  command.examples = examples_in(app.get_footer());
  for (const CLI::Option* one : app.get_options()) {
    command.options.push_back(tree_option(*one));
  }
  for (const CLI::App* one :
       app.get_subcommands([](const CLI::App*) { return true; })) {
    command.below.push_back(
        tree_of(*one, path + (path.empty() ? "" : " ") + one->get_name()));
  }
  return command;
}

void add_all(const TreeCommand& command, std::vector<const TreeCommand*>& all) {
  all.push_back(&command);
  for (const TreeCommand& one : command.below) add_all(one, all);
}

}  // namespace

TreeCommand command_tree() {
  const auto commands = all_commands();
  Arguments program = the_program(commands);
  TreeCommand root = tree_of(program.parser(), "");
  for (std::size_t i = 0; i < root.below.size(); ++i) {
    root.below[i].task = commands[i]->task();
  }
  return root;
}

std::vector<const TreeCommand*> all_below(const TreeCommand& root) {
  std::vector<const TreeCommand*> all;
  add_all(root, all);
  return all;
}

}  // namespace evenfeed
