// SPDX-License-Identifier: MIT
// Columns that people can read on a terminal.
#pragma once

#include <string>
#include <vector>

namespace evenfeed {

enum class Align { kLeft, kRight };

class TextTable {
 public:
  struct Column {
    std::string heading;
    Align align = Align::kLeft;
  };
  explicit TextTable(std::vector<Column> columns);
  /// One text per column.
  void add_row(std::vector<std::string> cells);
  /// Two spaces between columns, none at the end of a line; widths by
  /// characters, not bytes.
  std::string text() const;

 private:
  std::vector<Column> columns_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace evenfeed
