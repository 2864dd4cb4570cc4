// SPDX-License-Identifier: MIT
#include "cli/completions.h"

#include "cli/shell_words.h"
#include "cli/shipped_files.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Where the words of a command line have led to, in every script: "." at the
// program itself, else "store list".
std::string place(const TreeCommand& command) {
  return command.path.empty() ? "." : command.path;
}

std::vector<std::string> shipped(std::string_view folder) {
  std::vector<std::string> names;
  for (const ShippedFile& one : shipped_files()) {
    if (!one.name.starts_with(folder)) continue;
    const std::string_view name = one.name.substr(folder.size());
    if (name.find('/') == std::string_view::npos) names.emplace_back(name);
  }
  return names;
}

// The words an option's value may be, as far as they are known.
std::vector<std::string> words_of(const TreeOption& option) {
  if (option.value == "PROFILE") return shipped("");
  if (option.value == "SCENE") return shipped("scenes/");
  return option.choices;
}

bool takes_file(const TreeOption& option) {
  return option.value == "FILE" || option.value == "PROFILE" ||
         option.value == "SCENE";
}

bool takes_folder(const TreeOption& option) { return option.value == "FOLDER"; }

std::vector<std::string> names_below(const TreeCommand& command) {
  std::vector<std::string> names;
  for (const TreeCommand& one : command.below) names.push_back(one.name);
  if (command.path.empty()) names.emplace_back("help");
  return names;
}

std::vector<std::string> options_of(const TreeCommand& command) {
  std::vector<std::string> names;
  for (const TreeOption& one : command.options) {
    if (!one.name.empty()) names.push_back(one.name);
  }
  return names;
}

// Does it take a folder by its place? Else a file.
bool works_on_folder(const TreeCommand& command) {
  for (const TreeOption& one : command.options) {
    if (one.name.empty()) return takes_folder(one);
  }
  return false;
}

// "'session'|'store'|'store list'" for a case of bash and zsh.
std::string places_pattern(const TreeCommand& root) {
  std::vector<std::string> places;
  for (const TreeCommand* one : all_below(root)) {
    if (one != &root) places.push_back(in_quotes(one->path));
  }
  return fmt::format("{}", fmt::join(places, "|"));
}

constexpr std::string_view kHeader =
    "# SPDX-License-Identifier: MIT\n# Made with the program from what its "
    "commands declare.\n";

}  // namespace

std::string bash_completion(const TreeCommand& root) {
  std::string values, words;
  for (const TreeCommand* command : all_below(root)) {
    for (const TreeOption& option : command->options) {
      if (option.name.empty() || option.value.empty()) continue;
      const std::string list =
          fmt::format("{}", fmt::join(words_of(option), " "));
      const char* kind = takes_file(option)     ? "-f "
                         : takes_folder(option) ? "-d "
                                                : "";
      values += fmt::format(
          "    {}) COMPREPLY=($(compgen {}-W {} -- \"$cur\")); return ;;\n",
          in_quotes(place(*command) + " " + option.name),
          kind,
          in_quotes(list));
    }
    words += fmt::format(
        "    {}) options={} below={} kind={} ;;\n",
        in_quotes(place(*command)),
        in_quotes(fmt::format("{}", fmt::join(options_of(*command), " "))),
        in_quotes(fmt::format("{}", fmt::join(names_below(*command), " "))),
        works_on_folder(*command) ? "-d" : "-f");
  }
  return fmt::format(
      "{}_evenfeed() {{\n"
      "  local cur=${{COMP_WORDS[COMP_CWORD]}} "
      "prev=${{COMP_WORDS[COMP_CWORD-1]}}\n"
      "  local at=. next i options below kind\n"
      "  for ((i = 1; i < COMP_CWORD; i++)); do\n"
      "    next=\"${{at#.}}\"\n"
      "    next=\"${{next:+$next }}${{COMP_WORDS[i]}}\"\n"
      "    case $next in\n      {}) at=$next ;;\n    esac\n"
      "  done\n"
      "  case \"$at $prev\" in\n{}  esac\n"
      "  case $at in\n{}  esac\n"
      "  if [[ $cur == -* ]]; then\n"
      "    COMPREPLY=($(compgen -W \"$options\" -- \"$cur\"))\n"
      "  elif [[ -n $below ]]; then\n"
      "    COMPREPLY=($(compgen -W \"$below\" -- \"$cur\"))\n"
      "  else\n"
      "    COMPREPLY=($(compgen $kind -- \"$cur\"))\n"
      "  fi\n"
      "}}\n"
      "complete -o filenames -F _evenfeed evenfeed\n",
      kHeader,
      places_pattern(root),
      values,
      words);
}

std::string zsh_completion(const TreeCommand& root) {
  // "name:meaning" with its own colons escaped.
  const auto described = [](const std::string& name, const std::string& words) {
    std::string plain;
    for (const char c : words)
      plain += c == ':' ? std::string("\\:") : std::string(1, c);
    return in_quotes(name + ":" + plain);
  };
  std::string values, words;
  for (const TreeCommand* command : all_below(root)) {
    for (const TreeOption& option : command->options) {
      if (option.name.empty() || option.value.empty()) continue;
      std::string act;
      if (const auto list = words_of(option); !list.empty()) {
        act += fmt::format("compadd -- {}; ", fmt::join(list, " "));
      }
      if (takes_file(option)) act += "_files; ";
      if (takes_folder(option)) act += "_files -/; ";
      values += fmt::format("    ({}) {}return ;;\n",
                            in_quotes(place(*command) + " " + option.name),
                            act);
    }
    std::vector<std::string> options, below;
    for (const TreeOption& one : command->options) {
      if (!one.name.empty())
        options.push_back(described(one.name, one.meaning));
    }
    for (const TreeCommand& one : command->below) {
      below.push_back(described(one.name, one.summary));
    }
    if (command == &root)
      below.push_back(described("help", "Tell about a command"));
    words += fmt::format("    ({}) options=({}) below=({}) kind={} ;;\n",
                         in_quotes(place(*command)),
                         fmt::join(options, " "),
                         fmt::join(below, " "),
                         works_on_folder(*command) ? "-/" : "''");
  }
  return fmt::format(
      "#compdef evenfeed\n{}_evenfeed() {{\n"
      "  local at=. next i kind\n  local -a options below\n"
      "  for ((i = 2; i < CURRENT; i++)); do\n"
      "    next=\"${{at#.}}\"\n"
      "    next=\"${{next:+$next }}${{words[i]}}\"\n"
      "    case $next in\n      ({}) at=$next ;;\n    esac\n"
      "  done\n"
      "  case \"$at ${{words[CURRENT-1]}}\" in\n{}  esac\n"
      "  case $at in\n{}  esac\n"
      "  if [[ $PREFIX == -* ]]; then\n"
      "    _describe -o option options\n"
      "  elif (( $#below )); then\n"
      "    _describe command below\n"
      "  else\n"
      "    _files $kind\n"
      "  fi\n"
      "}}\n"
      "if [[ $funcstack[1] == _evenfeed ]]; then\n  _evenfeed \"$@\"\n"
      "else\n  compdef _evenfeed evenfeed\nfi\n",
      kHeader,
      places_pattern(root),
      values,
      words);
}

std::string fish_completion(const TreeCommand& root) {
  std::vector<std::string> places;
  for (const TreeCommand* one : all_below(root)) {
    if (one != &root) places.push_back(in_quotes(one->path));
  }
  std::string text = fmt::format(
      "{}function __evenfeed_at\n"
      "  set -l at .\n"
      "  for word in (commandline -opc)[2..-1]\n"
      "    set -l next (string trim (string replace -r '^\\.' '' -- $at)\" "
      "\"$word)\n"
      "    contains -- $next {}; and set at $next\n"
      "  end\n"
      "  test \"$at\" = \"$argv\"\n"
      "end\n"
      "complete -c evenfeed -f\n",
      kHeader,
      fmt::join(places, " "));
  for (const TreeCommand* command : all_below(root)) {
    const std::string here = fmt::format(
        "complete -c evenfeed -n \"__evenfeed_at {}\"", place(*command));
    for (const TreeCommand& one : command->below) {
      text += fmt::format(
          "{} -a {} -d {}\n", here, one.name, in_quotes(one.summary));
    }
    if (command == &root) {
      text += here + " -a help -d 'Tell about a command'\n";
    }
    for (const TreeOption& option : command->options) {
      if (option.name.empty()) {
        text += fmt::format(
            "{} {}\n",
            here,
            takes_folder(option) ? "-a '(__fish_complete_directories)'" : "-F");
        continue;
      }
      const bool is_long = option.name.starts_with("--");
      text += fmt::format("{} {} {} -d {}",
                          here,
                          is_long ? "-l" : "-s",
                          option.name.substr(is_long ? 2 : 1),
                          in_quotes(option.meaning));
      if (!option.value.empty()) {
        text += takes_file(option) ? " -r -F" : " -x";
        if (const auto list = words_of(option); !list.empty()) {
          text += fmt::format(" -a '{}'", fmt::join(list, " "));
        }
        if (takes_folder(option)) text += " -a '(__fish_complete_directories)'";
      }
      text += "\n";
    }
  }
  return text;
}

}  // namespace evenfeed
