// SPDX-License-Identifier: MIT
#include "cli/arguments.h"

#include "base/nearest.h"
#include "cli/help_text.h"

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <type_traits>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// What is no number at all is refused with the option's type.
template <typename Allowed>
CLI::Validator number_check(const std::string& words, const Allowed& allowed) {
  return CLI::Validator(
      [=](const std::string& text) {
        char* end = nullptr;
        const double value = std::strtod(text.c_str(), &end);
        if (*end != '\0' || allowed(value)) return std::string();
        return fmt::format("{} is not {}", text, words);
      },
      "");
}

// A number without a sign takes -1 for 2^64 - 1, and what is too large for the
// largest. What is no number at all is refused with the option's type.
std::string unsigned_fault(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || *end != '\0') return {};
  if (value < 0) {
    return fmt::format("{} is not a whole number from 0 on", text);
  }
  errno = 0;
  (void)std::strtoull(text.c_str(), nullptr, 10);
  if (errno != ERANGE) return {};
  return fmt::format("{} is not a whole number from 0 to {}", text, UINT64_MAX);
}

}  // namespace

Argument& Argument::required() {
  option_->required();
  return *this;
}

Argument& Argument::show_default() {
  option_->capture_default_str();
  return *this;
}

Argument& Argument::takes(const std::string& word) {
  option_->type_name(word);
  return *this;
}

Argument& Argument::group(const std::string& name) {
  option_->group(name);
  return *this;
}

Argument& Argument::comma_separated() {
  option_->delimiter(',');
  return *this;
}

Argument& Argument::count(int least, int most) {
  option_->expected(least, most);
  return *this;
}

Argument& Argument::above_zero() {
  option_->check(
      number_check("a number above 0", [](double value) { return value > 0; }));
  return *this;
}

Argument& Argument::zero_or_more() {
  option_->check(number_check("a number from 0 on",
                              [](double value) { return value >= 0; }));
  return *this;
}

Argument& Argument::within(double low, double high) {
  option_->check(number_check(
      fmt::format("a number from {} to {}", low, high),
      [=](double value) { return value >= low && value <= high; }));
  return *this;
}

Argument& Argument::one_of(const std::vector<std::string>& words) {
  // The description is what completions and --help take the words from.
  option_->check(CLI::Validator(
      [words](const std::string& text) {
        if (std::find(words.begin(), words.end(), text) != words.end()) {
          return std::string();
        }
        const std::string meant = did_you_mean(text, words);
        return fmt::format(
            "{} is not one of {}{}", text, fmt::join(words, ", "), meant);
      },
      fmt::format("{{{}}}", fmt::join(words, ","))));
  return *this;
}

Argument& Argument::excludes(const Argument& other) {
  option_->excludes(other.option_);
  return *this;
}

// Commands below have the formatter of what they are below.
Arguments::Arguments(const std::string& about, const std::string& name)
    : owned_(std::make_shared<CLI::App>(about, name)), app_(owned_.get()) {
  app_->formatter_fn([](const CLI::App* one,
                        const std::string&,
                        CLI::AppFormatMode) { return help_text(*one); });
}

Arguments::Arguments(CLI::App* app) : app_(app) {}

Arguments::Arguments(const Arguments&) = default;

Arguments::~Arguments() = default;

template <typename T>
Argument Arguments::add_option(const std::string& name,
                               T& value,
                               const std::string& help) {
  CLI::Option* option = app_->add_option(name, value, help);
  if constexpr (std::is_same_v<T, std::uint64_t>) {
    option->check(CLI::Validator(
        [](const std::string& text) { return unsigned_fault(text); }, ""));
  }
  return Argument(option);
}

template Argument Arguments::add_option(const std::string&,
                                        std::string&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        int&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        std::uint64_t&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        double&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        std::optional<double>&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        std::vector<std::string>&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        std::vector<int>&,
                                        const std::string&);
template Argument Arguments::add_option(const std::string&,
                                        std::vector<double>&,
                                        const std::string&);

Argument Arguments::add_flag(const std::string& name,
                             bool& value,
                             const std::string& help) {
  return Argument(app_->add_flag(name, value, help));
}

Argument Arguments::add_quiet(bool& value) {
  return add_flag("--quiet", value, "Say nothing but errors");
}

Argument Arguments::add_json(bool& value, const std::string& what) {
  return add_flag(
      "--json", value, fmt::format("Print {} as JSON, nothing else", what));
}

Arguments Arguments::add_command(std::string_view name,
                                 std::string_view summary) {
  return Arguments(
      app_->add_subcommand(std::string(name), std::string(summary)));
}

void Arguments::add_version(const std::string& text) {
  app_->set_version_flag("--version", text);
}

void Arguments::require_command() { app_->require_subcommand(1); }

void Arguments::examples(const std::vector<std::string>& lines) {
  std::string text = lines.size() == 1 ? "Example:" : "Examples:";
  for (const std::string& line : lines) text += "\n  " + line;
  app_->footer(text);
}

bool Arguments::given() const { return app_->parsed(); }

}  // namespace evenfeed
