// SPDX-License-Identifier: MIT
#include "cli/number_checks.h"

#include <cstdlib>
#include <string>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// What is no number at all is refused with the option's type.
template <typename Allowed>
CLI::Validator check(const char* words, const Allowed& allowed) {
  return CLI::Validator(
      [=](const std::string& text) {
        char* end = nullptr;
        const double value = std::strtod(text.c_str(), &end);
        if (*end != '\0' || allowed(value)) return std::string();
        return fmt::format("{} is not {}", text, words);
      },
      "");
}

}  // namespace

CLI::Validator above_zero() {
  return check("a number above 0", [](double value) { return value > 0; });
}

CLI::Validator zero_or_more() {
  return check("a number from 0 on", [](double value) { return value >= 0; });
}

}  // namespace evenfeed
