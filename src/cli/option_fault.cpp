// SPDX-License-Identifier: MIT
#include "cli/option_fault.h"

#include "cli/help_text.h"

#include <cstdlib>
#include <string_view>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {
namespace {

// CLI11's messages name the option first, up to " = " or ": ".
const CLI::Option* option_named_in(const CLI::App& command,
                                   const std::string& text) {
  const CLI::Option* found = nullptr;
  std::size_t longest = 0;
  for (const CLI::Option* one : command.get_options()) {
    const std::string name = one->get_name();
    if (name.size() < longest || !text.starts_with(name)) continue;
    const char after = text.size() > name.size() ? text[name.size()] : ' ';
    if (after != ' ' && after != ':') continue;
    found = one;
    longest = name.size();
  }
  return found;
}

bool is_whole(const std::string& text) {
  char* end = nullptr;
  (void)std::strtoll(text.c_str(), &end, 10);
  return !text.empty() && *end == '\0';
}

bool is_number(const std::string& text) {
  char* end = nullptr;
  (void)std::strtod(text.c_str(), &end);
  return !text.empty() && *end == '\0';
}

// The first value that does not read as the option wants it.
std::string value_at_fault(const CLI::Option& option,
                           const std::string& given,
                           bool whole) {
  std::vector<std::string> values;
  for (std::size_t begin = 0; begin <= given.size();) {
    const std::size_t end =
        option.get_delimiter() == '\0'
            ? given.size()
            : std::min(given.find(option.get_delimiter(), begin), given.size());
    values.push_back(given.substr(begin, end - begin));
    begin = end + 1;
  }
  for (const std::string& one : values) {
    if (!(whole ? is_whole(one) : is_number(one))) return one;
  }
  return given;
}

bool takes_a_list(const CLI::Option& option) {
  return option.get_delimiter() != '\0';
}

}  // namespace

std::string fault_of_value(const CLI::App& command,
                           const CLI::ConversionError& error) {
  const std::string words = error.what();
  constexpr std::string_view kStart = "Could not convert: ";
  if (!words.starts_with(kStart)) return words;
  const std::string rest = words.substr(kStart.size());
  const CLI::Option* option = option_named_in(command, rest);
  const std::size_t equals = rest.find(" = ");
  if (option == nullptr || equals == std::string::npos) return words;
  const std::string given = rest.substr(equals + 3);
  const bool whole = value_word(*option) == "N";
  const std::string fault = value_at_fault(*option, given, whole);
  const bool kind = whole ? is_whole(fault) : is_number(fault);
  std::string text = fmt::format("{} {}: ", option->get_name(), given);
  if (kind) return text + fmt::format("'{}' is not in range", fault);
  text +=
      fmt::format("'{}' is not a {}", fault, whole ? "whole number" : "number");
  if (takes_a_list(*option)) {
    text += fmt::format("; allowed are {} joined by commas, as {}",
                        whole ? "whole numbers" : "numbers",
                        whole ? "12,21" : "0.1,0.2");
  }
  return text;
}

std::string fault_of_number_of_values(const CLI::App& command,
                                      const CLI::ArgumentMismatch& error) {
  const std::string words = error.what();
  const CLI::Option* option = option_named_in(command, words);
  if (option == nullptr || !takes_a_list(*option)) return words;
  const int least = option->get_items_expected_min();
  const int most = option->get_items_expected_max();
  if (least < 1 || least != most) return words;
  return fmt::format(
      "{}: {} values joined by commas are needed", option->get_name(), least);
}

}  // namespace evenfeed
