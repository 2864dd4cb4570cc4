// SPDX-License-Identifier: MIT
#include "cli/field_fault.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <string_view>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr std::string_view kFieldLetters =
    "abcdefghijklmnopqrstuvwxyz0123456789_. ";
constexpr std::array<std::string_view, 7> kUnits{
    "px", "mm", "ms", "mps", "deg", "m", "s"};

struct FieldFault {
  std::string field;
  std::string value;  // empty where the words tell none
  std::string rest;   // from the colon on
};

// "field = value: rest" or "field: rest".
std::optional<FieldFault> taken_apart(const std::string& words) {
  const std::size_t end = words.find_first_not_of(kFieldLetters);
  if (end == std::string::npos || end == 0) return std::nullopt;
  if (words[end] == ':') {
    return FieldFault{words.substr(0, end), "", words.substr(end)};
  }
  const std::size_t colon = words.find(": ", end);
  if (words[end] != '=' || words[end - 1] != ' ' ||
      colon == std::string::npos) {
    return std::nullopt;
  }
  return FieldFault{words.substr(0, end - 1),
                    words.substr(end + 2, colon - end - 2),
                    words.substr(colon)};
}

struct PlainName {
  std::string stem;
  std::string_view unit;
};

// "camera.exposure_s" and "exposure-ms" are both "exposure".
PlainName plain_name(std::string name) {
  name = name.substr(name.rfind('.') + 1);
  std::replace_if(
      name.begin(),
      name.end(),
      [](char c) { return c == '_' || c == ' '; },
      '-');
  for (const std::string_view unit : kUnits) {
    if (name.ends_with(fmt::format("-{}", unit))) {
      return {name.substr(0, name.size() - unit.size() - 1), unit};
    }
  }
  return {name, ""};
}

std::optional<double> number_in(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  return text.empty() || *end != '\0' ? std::nullopt
                                      : std::optional<double>(value);
}

// nan is nan here.
bool same_number(const std::string& a, const std::string& b) {
  const auto x = number_in(a);
  const auto y = number_in(b);
  return x && y && (*x == *y || (*x != *x && *y != *y));
}

bool gives(const CLI::Option& option, const std::string& value) {
  return std::any_of(
      option.results().begin(),
      option.results().end(),
      [&](const std::string& given) { return same_number(given, value); });
}

PlainName name_of(const CLI::Option& option) {
  return plain_name(option.get_lnames().front());
}

const CLI::Option* only_one(const std::vector<const CLI::Option*>& options) {
  return options.size() == 1 ? options.front() : nullptr;
}

const CLI::Option* option_of(const CLI::App& command, const FieldFault& fault) {
  const PlainName field = plain_name(fault.field);
  std::vector<const CLI::Option*> named;
  std::vector<const CLI::Option*> valued;
  std::vector<const CLI::Option*> of_its_unit;
  for (const CLI::Option* one : command.get_options()) {
    if (one->count() == 0 || one->get_lnames().empty()) continue;
    const PlainName name = name_of(*one);
    if (name.stem == field.stem) named.push_back(one);
    if (!gives(*one, fault.value)) continue;
    valued.push_back(one);
    if (!name.unit.empty() && name.unit == field.unit) {
      of_its_unit.push_back(one);
    }
  }
  if (!named.empty()) return only_one(named);
  return valued.size() > 1 ? only_one(of_its_unit) : only_one(valued);
}

}  // namespace

std::string fault_of_field(const CLI::App& command, const std::string& words) {
  const auto fault = taken_apart(words);
  if (!fault) return words;
  const CLI::Option* option = option_of(command, *fault);
  if (option == nullptr) return words;
  const std::string given = fmt::format("--{} {}",
                                        option->get_lnames().front(),
                                        fmt::join(option->results(), ","));
  const bool same = option->results().size() == 1 &&
                    (fault->value.empty() || gives(*option, fault->value));
  return same ? given + fault->rest : given + ": " + words;
}

}  // namespace evenfeed
