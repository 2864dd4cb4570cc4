// SPDX-License-Identifier: MIT
#include "cli/wrapped.h"

#include "base/broken_lines.h"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr std::size_t kFewest = 20;

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
  out += line.substr(0, begin + item);
  out += fmt::format(
      "{}",
      fmt::join(broken_lines(line.substr(begin + item),
                             columns - std::min(columns, begin + item),
                             columns - indent),
                "\n" + std::string(indent, ' ')));
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
