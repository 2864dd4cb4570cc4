// SPDX-License-Identifier: MIT
#include "base/csv.h"

#include "base/atomic_file.h"
#include "base/check.h"
#include "base/csv_dialect.h"
#include "base/error.h"
#include "base/foreign_bytes.h"
#include "base/nearest.h"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// Splits text into records of fields; keeps the line each record starts on.
class Parser {
 public:
  Parser(std::string_view text,
         const std::string& name,
         const CsvSeparator& separator)
      : text_(text),
        name_(name),
        separator_(separator.sign),
        pos_(separator.header_at) {}

  bool next(std::vector<std::string>& fields, std::size_t& line) {
    while (pos_ < text_.size() && at_line_end()) skip_line_end();
    if (pos_ >= text_.size()) return false;
    line = line_;
    fields.clear();
    while (true) {
      fields.push_back(text_[pos_] == '"' ? quoted() : plain());
      if (pos_ < text_.size() && text_[pos_] == separator_) {
        if (++pos_ >= text_.size()) fields.emplace_back();
        if (pos_ < text_.size()) continue;
      }
      if (pos_ < text_.size()) skip_line_end();
      return true;
    }
  }

 private:
  bool at_line_end() const {
    return text_[pos_] == '\n' || text_[pos_] == '\r';
  }

  void skip_line_end() {
    if (text_[pos_] == '\r') ++pos_;
    if (pos_ < text_.size() && text_[pos_] == '\n') ++pos_;
    ++line_;
  }

  std::string plain() {
    const std::size_t start = pos_;
    while (pos_ < text_.size() && text_[pos_] != separator_ && !at_line_end()) {
      ++pos_;
    }
    return std::string(text_.substr(start, pos_ - start));
  }

  std::string quoted() {
    const std::size_t start_line = line_;
    std::string field;
    for (++pos_; pos_ < text_.size(); ++pos_) {
      if (text_[pos_] == '"') {
        if (pos_ + 1 < text_.size() && text_[pos_ + 1] == '"') {
          ++pos_;
        } else {
          ++pos_;
          return field;
        }
      }
      if (text_[pos_] == '\n') ++line_;
      field += text_[pos_];
    }
    throw InputError(fmt::format("{}:{}", name_, start_line),
                     "a quoted field is never closed",
                     "Close it with a double quote");
  }

  std::string_view text_;
  const std::string& name_;
  char separator_;
  std::size_t pos_;
  std::size_t line_ = 1;
};

bool is_number(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto result = std::from_chars(text.data(), end, value);
  return result.ec == std::errc() && result.ptr == end;
}

// Text that a spreadsheet would run, behind any number of apostrophes.
bool begins_as_formula(std::string_view text) {
  const auto first = text.find_first_not_of('\'');
  return first != std::string_view::npos &&
         std::string_view("=+-@\t\r").find(text[first]) !=
             std::string_view::npos;
}

bool needs_apostrophe(std::string_view text) {
  return begins_as_formula(text) && !is_number(text);
}

void take_apostrophe_away(std::string& text) {
  if (text.starts_with('\'') && begins_as_formula(text)) text.erase(0, 1);
}

// The mark of UTF-8, which tells nothing inside of a text: it is left where
// files were joined, and written first it would be taken for the file's.
void take_marks_away(std::string& name) {
  constexpr std::string_view kMark = "\xef\xbb\xbf";
  while (name.starts_with(kMark)) name.erase(0, kMark.size());
}

std::string note_of(char separator, bool commas) {
  if (separator == ',') return {};
  return fmt::format("read with {} between the fields{}",
                     separator == ';' ? "semicolons" : "tabs",
                     commas ? " and decimal commas" : "");
}

}  // namespace

CsvTable CsvTable::read(const std::filesystem::path& path) {
  return parse(read_file(path), path.string());
}

CsvTable CsvTable::parse(std::string_view text, std::string name) {
  CsvTable table;
  table.name_ = std::move(name);
  require_utf8_text(text, table.name_, "CSV");
  const CsvSeparator separator = csv_separator(text, table.name_);
  Parser parser(text, table.name_, separator);
  std::size_t line = 0;
  if (!parser.next(table.header_, line)) {
    throw InputError(table.name_,
                     "the file is empty",
                     "The first line must name the columns");
  }
  table.index_header(line);
  std::vector<std::string> fields;
  while (parser.next(fields, line)) {
    if (fields.size() != table.header_.size()) {
      throw InputError(fmt::format("{}:{}", table.name_, line),
                       fmt::format("{} fields where the header has {}",
                                   fields.size(),
                                   table.header_.size()),
                       "Give every row one field per column, empty if not "
                       "known");
    }
    for (std::string& field : fields) take_apostrophe_away(field);
    table.cells_.push_back(std::move(fields));
    table.lines_.push_back(line);
  }
  const bool commas =
      separator.sign != ',' &&
      settle_decimal_commas(
          table.name_, table.header_, table.lines_, table.cells_);
  table.note_ = note_of(separator.sign, commas);
  return table;
}

void CsvTable::index_header(std::size_t line) {
  for (std::size_t c = 0; c < header_.size(); ++c) {
    take_marks_away(header_[c]);
    take_apostrophe_away(header_[c]);
    if (column_of_.emplace(header_[c], c).second) continue;
    throw InputError(fmt::format("{}:{}", name_, line),
                     fmt::format("column '{}' stands twice", header_[c]),
                     "Give each column its own name");
  }
}

std::optional<std::size_t> CsvTable::column(std::string_view name) const {
  const auto it = column_of_.find(std::string(name));
  if (it == column_of_.end()) return std::nullopt;
  return it->second;
}

std::size_t CsvTable::require_column(std::string_view name) const {
  if (const auto found = column(name)) return *found;
  constexpr std::size_t kFew = 12;
  const std::string meant = nearest_word(name, header_);
  const std::string list =
      header_.size() <= kFew
          ? fmt::format("The columns are: {}", fmt::join(header_, ", "))
          : fmt::format("Its header line has {} columns; see it with 'head -1'",
                        header_.size());
  throw InputError(
      name_,
      fmt::format("there is no column '{}'", name),
      meant.empty() ? list : fmt::format("Did you mean '{}'?", meant));
}

const std::string& CsvTable::text(std::size_t row, std::size_t column) const {
  return cells_[row][column];
}

std::optional<double> CsvTable::number(std::size_t row,
                                       std::size_t column) const {
  const std::string& cell = cells_[row][column];
  const auto first = cell.find_first_not_of(" \t");
  if (first == std::string::npos) return std::nullopt;
  const auto last = cell.find_last_not_of(" \t");
  const char* begin = cell.data() + first;
  const char* end = cell.data() + last + 1;
  if (*begin == '+') ++begin;
  double value = 0;
  const auto result = std::from_chars(begin, end, value);
  if (result.ec != std::errc() || result.ptr != end || !std::isfinite(value)) {
    throw InputError(place(row, column),
                     fmt::format("'{}' is not a number", cell),
                     "Write a finite number with '.' as the decimal sign, or "
                     "leave the field empty if it is not known");
  }
  return value;
}

double CsvTable::require_number(std::size_t row, std::size_t column) const {
  if (const auto value = number(row, column)) return *value;
  throw InputError(
      place(row, column), "the field is empty", "A number is needed here");
}

std::string CsvTable::place(std::size_t row, std::size_t column) const {
  return fmt::format("{}:{}, column '{}'", name_, lines_[row], header_[column]);
}

CsvWriter::CsvWriter(const std::vector<std::string>& header)
    : columns_(header.size()) {
  append(header);
}

void CsvWriter::add_row(const std::vector<std::string>& fields) {
  require(fields.size() == columns_, "CSV row does not match its header");
  append(fields);
}

void CsvWriter::append(const std::vector<std::string>& fields) {
  // The separator is told by the header, and an empty line is no record.
  const char* const quoted = text_.empty() ? ",;\t\"\r\n" : ",\"\r\n";
  const bool empty_line = fields.size() == 1 && fields[0].empty();
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (i > 0) text_ += ',';
    const bool formula = needs_apostrophe(fields[i]);
    if (fields[i].find_first_of(quoted) == std::string::npos && !empty_line) {
      if (formula) text_ += '\'';
      text_ += fields[i];
      continue;
    }
    text_ += formula ? "\"'" : "\"";
    for (const char c : fields[i]) {
      if (c == '"') text_ += '"';
      text_ += c;
    }
    text_ += '"';
  }
  text_ += '\n';
}

std::string csv_number(double value, int decimals) {
  if (!std::isfinite(value)) return "";
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_of("123456789") == std::string::npos &&
      text.front() == '-') {
    text.erase(0, 1);
  }
  return text;
}

}  // namespace evenfeed
