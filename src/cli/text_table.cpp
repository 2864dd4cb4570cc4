// SPDX-License-Identifier: MIT
#include "cli/text_table.h"

#include "base/check.h"
#include "base/printable.h"

#include <algorithm>

namespace evenfeed {
namespace {

// Characters of UTF-8: every byte that does not continue one.
std::size_t width_of(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xc0) != 0x80;
      }));
}

}  // namespace

TextTable::TextTable(std::vector<Column> columns)
    : columns_(std::move(columns)) {}

void TextTable::add_row(std::vector<std::string> cells) {
  require(cells.size() == columns_.size(), "a row of another width");
  for (std::string& cell : cells) cell = printable(cell);
  rows_.push_back(std::move(cells));
}

std::string TextTable::text() const {
  std::vector<std::string> headings;
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    headings.push_back(columns_[c].heading);
    widths.push_back(width_of(columns_[c].heading));
    for (const auto& row : rows_) {
      widths[c] = std::max(widths[c], width_of(row[c]));
    }
  }
  std::string out;
  const auto add_line = [&](const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      const std::string gap(widths[c] - width_of(cells[c]), ' ');
      line +=
          columns_[c].align == Align::kRight ? gap + cells[c] : cells[c] + gap;
      line += "  ";
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  };
  add_line(headings);
  for (const auto& row : rows_) add_line(row);
  return out;
}

}  // namespace evenfeed
