// SPDX-License-Identifier: MIT
// CSV as spreadsheets save it where the decimal sign is a comma: fields
// between semicolons or tabs. What a file means is told from the whole file,
// never from one cell; what could mean two things is refused.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

struct CsvSeparator {
  char sign = ',';
  /// Where the header begins: behind a first line "sep=;", if there is one.
  std::size_t header_at = 0;
};

/// The sign outside quotes that the header line has; a comma where it has none.
/// Of several the one by which all lines have as many fields as the header.
/// Throws InputError when that is none or more than one.
[[nodiscard]] CsvSeparator csv_separator(std::string_view text,
                                         const std::string& name);

/// Of files without commas between the fields: whether decimals stand behind
/// commas, judged by the columns that hold nothing but numbers; those cells
/// are written with '.' then. `lines[r]` is the line of row r, for messages.
/// Throws InputError when both signs occur, or when every comma could as well
/// stand between thousands.
[[nodiscard]] bool settle_decimal_commas(
    const std::string& name,
    const std::vector<std::string>& header,
    const std::vector<std::size_t>& lines,
    std::vector<std::vector<std::string>>& cells);

}  // namespace evenfeed
