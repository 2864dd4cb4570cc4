// SPDX-License-Identifier: MIT
#include "cli/shell_words.h"

namespace evenfeed {

std::string in_quotes(std::string_view text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'') {
      out += "'\\''";
    } else {
      out += c;
    }
  }
  return out + "'";
}

std::string shell_command(const std::vector<std::string>& words) {
  constexpr std::string_view kPlain =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
      "-_./,:=+@%";
  std::string out;
  for (const std::string& word : words) {
    if (!out.empty()) out += ' ';
    const bool plain =
        !word.empty() && word.find_first_not_of(kPlain) == std::string::npos;
    out += plain ? word : in_quotes(word);
  }
  return out;
}

}  // namespace evenfeed
