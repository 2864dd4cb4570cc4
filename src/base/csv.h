// SPDX-License-Identifier: MIT
// CSV as this project reads and writes it: RFC 4180, UTF-8, one header line,
// '.' decimals, an empty field means "not known". Columns are found by name,
// in any order; columns nobody asks for are kept and ignored. Files that a
// spreadsheet saved with semicolons, tabs or decimal commas are read as well
// (csv_dialect.h) and say so in note().
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace evenfeed {

/// A parsed file. Every access that refuses a value names file, line, column.
class CsvTable {
 public:
  /// Throws InputError: unreadable, not UTF-8 text, empty, no header, a
  /// repeated column name, a row with the wrong number of fields, an unclosed
  /// quote, separators or decimal signs that may mean two things.
  static CsvTable read(const std::filesystem::path& path);
  static CsvTable parse(std::string_view text, std::string name);

  const std::string& name() const { return name_; }
  /// How it was read, for people, when not as plain CSV; else empty.
  const std::string& note() const { return note_; }
  const std::vector<std::string>& header() const { return header_; }
  std::size_t rows() const { return cells_.size(); }
  const std::vector<std::string>& row(std::size_t r) const { return cells_[r]; }

  std::optional<std::size_t> column(std::string_view name) const;
  /// Throws InputError that lists the columns present.
  std::size_t require_column(std::string_view name) const;

  const std::string& text(std::size_t row, std::size_t column) const;
  /// Empty -> nullopt. Throws InputError for anything but a finite number.
  std::optional<double> number(std::size_t row, std::size_t column) const;
  /// Throws InputError for an empty field too.
  double require_number(std::size_t row, std::size_t column) const;

  /// "file:line, column 'name'", for messages.
  std::string place(std::size_t row, std::size_t column) const;

 private:
  void index_header(std::size_t line);

  std::string name_;
  std::string note_;
  std::vector<std::string> header_;
  std::unordered_map<std::string, std::size_t> column_of_;
  std::vector<std::vector<std::string>> cells_;
  std::vector<std::size_t> lines_;
};

/// Collects rows and gives the file's text; quotes fields that need it. A
/// spreadsheet runs text that begins with = + - @, a tab or a carriage return
/// as a formula: an apostrophe is put before it, as is usual, and taken away
/// again by CsvTable. Numbers stay as they are.
class CsvWriter {
 public:
  explicit CsvWriter(const std::vector<std::string>& header);
  void add_row(const std::vector<std::string>& fields);
  const std::string& text() const { return text_; }

 private:
  void append(const std::vector<std::string>& fields);
  std::size_t columns_;
  std::string text_;
};

/// Fixed `decimals`, no "-0"; NaN and infinities give the empty field.
std::string csv_number(double value, int decimals);

}  // namespace evenfeed
