// SPDX-License-Identifier: MIT
#include "cli/help_text.h"

#include "base/broken_lines.h"
#include "base/version.h"

#include <algorithm>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr std::size_t kColumns = 79;

// `text` from column `indent` on, broken between words; the first line is
// taken to stand at `at` already.
std::string wrapped(const std::string& text,
                    std::size_t at,
                    std::size_t indent) {
  return fmt::format(
      "{}\n",
      fmt::join(broken_lines(text, kColumns - at, kColumns - indent),
                "\n" + std::string(indent, ' ')));
}

// A term and what it means, in two columns.
std::string entry(const std::string& term, const std::string& meaning) {
  constexpr std::size_t kIndent = 26;
  std::string line = "  " + term;
  if (line.size() + 2 > kIndent) {
    line += "\n" + std::string(kIndent, ' ');
  } else {
    line += std::string(kIndent - line.size(), ' ');
  }
  return line + wrapped(meaning, kIndent, kIndent);
}

std::string usage(const CLI::App& command) {
  std::string line = "Usage: " + called_as(command);
  if (command.get_require_subcommand_min() > 0) line += " COMMAND";
  for (const CLI::Option* one : command.get_options()) {
    if (one->get_positional()) {
      const std::string word = option_words(*one);
      line += one->get_required() ? " " + word : " [" + word + "]";
    } else if (one->get_required()) {
      line += " " + option_words(*one);
    }
  }
  return wrapped(line + " [OPTION...]", 0, 9);
}

}  // namespace

std::string called_as(const CLI::App& command) {
  const CLI::App* above = command.get_parent();
  if (above == nullptr) return command.get_name();
  return called_as(*above) + " " + command.get_name();
}

std::string value_word(const CLI::Option& option) {
  if (option.get_type_size() == 0) return {};
  const std::string type = option.get_type_name();
  if (type == "FLOAT") return "NUMBER";
  if (type == "INT" || type == "UINT") return "N";
  // A list of allowed words stands in the meaning.
  return type.find('{') == std::string::npos ? type : "WORD";
}

std::string option_words(const CLI::Option& option) {
  const bool many = option.get_expected_max() > 1;
  if (option.get_positional()) {
    return option.get_name() + (many ? "..." : "");
  }
  std::string words = option.get_name();
  std::replace(words.begin(), words.end(), ',', ' ');
  const std::string value = value_word(option);
  if (value.empty()) return words;
  return fmt::format("{} {}{}", words, value, many ? "..." : "");
}

std::string option_meaning(const CLI::Option& option) {
  std::string text = option.get_description();
  if (option.get_required() && !option.get_positional()) {
    text += " (must be given)";
  }
  if (const std::string value = option.get_default_str();
      !value.empty() && value != "[]" && value != "\"\"") {
    text += value.starts_with('[') ? " " + value : fmt::format(" [{}]", value);
  }
  return text;
}

std::string help_text(const CLI::App& command) {
  std::string text = wrapped(command.get_description() + ".", 0, 0) + "\n";
  text += usage(command);
  if (!command.get_footer().empty()) text += "\n" + command.get_footer() + "\n";
  const auto below =
      command.get_subcommands([](const CLI::App*) { return true; });
  if (!below.empty()) text += "\nCommands:\n";
  for (const CLI::App* one : below) {
    text += entry(one->get_name(), one->get_description());
  }
  std::string given;
  for (const CLI::Option* one : command.get_options()) {
    if (one->get_positional()) {
      given += entry(option_words(*one), option_meaning(*one));
    }
  }
  if (!given.empty()) text += "\nWhat it works on:\n" + given;
  for (const std::string& group : command.get_groups()) {
    std::string entries;
    for (const CLI::Option* one : command.get_options()) {
      if (one->get_positional() || one->get_group() != group) continue;
      entries += entry(option_words(*one), option_meaning(*one));
    }
    if (!entries.empty()) text += "\n" + group + ":\n" + entries;
  }
  return text;
}

std::string overview_text(const std::vector<std::unique_ptr<Command>>& all) {
  std::string text = fmt::format(
      "evenfeed {}: measures from a film what a ball launcher feeds, and says\n"
      "whether it is even enough to compare rubbers with.\n",
      program_version());
  std::string_view task;
  for (const auto& command : all) {
    if (command->task() != task) {
      task = command->task();
      text += fmt::format("\n{}\n", task);
    }
    text +=
        entry(std::string(command->name()), std::string(command->summary()));
  }
  return text +
         "\nStart with\n"
         "  evenfeed session film.mp4 --out tuesday\n"
         "and open tuesday/report.html.\n\n"
         "'evenfeed help COMMAND' tells all about one, with an example;\n"
         "'man evenfeed' is the same on paper. Free software, MIT licence.\n";
}

}  // namespace evenfeed
