// SPDX-License-Identifier: MIT
#include "cli/wrapped.h"

#include <algorithm>

namespace evenfeed {
namespace {

constexpr std::size_t kFewest = 20;

// Characters, not bytes: UTF-8 goes on with bytes of 10xxxxxx.
std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
      }));
}

void add_wrapped(std::string_view line, std::size_t columns, std::string& out) {
  const std::size_t begin = line.find_first_not_of(' ');
  const bool row = begin != std::string_view::npos &&
                   line.find("  ", begin) != std::string_view::npos;
  if (characters(line) <= columns || row || begin == std::string_view::npos) {
    out += line;
    return;
  }
  const std::size_t item = line.substr(begin).starts_with("- ") ? 2 : 0;
  const std::size_t indent = std::min(begin + item, columns / 2);
  std::string_view rest = line.substr(begin + item);
  out += line.substr(0, begin + item);
  std::size_t column = begin + item;
  for (bool first = true; !rest.empty(); first = false) {
    const std::size_t end = std::min(rest.find(' '), rest.size());
    const std::string_view word = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (!first && column + 1 + characters(word) > columns) {
      out += "\n" + std::string(indent, ' ');
      column = indent;
    } else if (!first) {
      out += ' ';
      ++column;
    }
    out += word;
    column += characters(word);
  }
}

}  // namespace

std::string wrapped_lines(std::string_view text, std::size_t columns) {
  if (columns < kFewest) return std::string(text);
  std::string out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    add_wrapped(text.substr(0, end), columns, out);
    if (end == std::string_view::npos) break;
    out += '\n';
    text.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace evenfeed
