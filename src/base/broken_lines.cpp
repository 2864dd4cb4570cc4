// SPDX-License-Identifier: MIT
#include "base/broken_lines.h"

#include <algorithm>

namespace evenfeed {

// UTF-8 goes on with bytes of 10xxxxxx.
std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
      }));
}

std::vector<std::string> broken_lines(std::string_view text,
                                      std::size_t first,
                                      std::size_t others) {
  std::vector<std::string> lines(1);
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of(" \t\n"), text.size());
    const std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (word.empty()) continue;
    const std::size_t most = lines.size() == 1 ? first : others;
    std::string& line = lines.back();
    if (line.empty()) {
      line = word;
    } else if (characters(line) + 1 + characters(word) <= most) {
      line += ' ';
      line += word;
    } else {
      lines.emplace_back(word);
    }
  }
  return lines;
}

}  // namespace evenfeed
