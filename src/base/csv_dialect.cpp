// SPDX-License-Identifier: MIT
#include "base/csv_dialect.h"

#include "base/error.h"

#include <algorithm>
#include <array>
#include <map>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::array<char, 3> kSigns{',', ';', '\t'};

// Calls `seen(c)` for every character outside quotes.
template <typename Seen>
void outside_quotes(std::string_view text, Seen seen) {
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (!quoted && !seen(c)) return;
  }
}

bool ends_line(char c) { return c == '\n' || c == '\r'; }

std::map<char, int> signs_in_header(std::string_view text) {
  std::map<char, int> counts;
  outside_quotes(text, [&](char c) {
    if (ends_line(c)) return false;
    if (std::find(kSigns.begin(), kSigns.end(), c) != kSigns.end()) ++counts[c];
    return true;
  });
  return counts;
}

// Whether each line that is not empty holds `sign` equally often.
bool lines_agree(std::string_view text, char sign) {
  std::optional<int> first;
  int count = 0;
  bool empty = true;
  bool agree = true;
  const auto end_line = [&] {
    if (!empty && !first) first = count;
    if (!empty && *first != count) agree = false;
    count = 0;
    empty = true;
  };
  outside_quotes(text, [&](char c) {
    if (ends_line(c)) {
      end_line();
    } else {
      empty = false;
      if (c == sign) ++count;
    }
    return agree;
  });
  end_line();
  return agree;
}

// "sep=;" on a line of its own: how a spreadsheet is told the sign.
std::optional<CsvSeparator> said_separator(std::string_view text,
                                           std::size_t start) {
  const std::string_view rest = text.substr(start);
  if (!rest.starts_with("sep=") || rest.size() < 6) return std::nullopt;
  if (std::find(kSigns.begin(), kSigns.end(), rest[4]) == kSigns.end()) {
    return std::nullopt;
  }
  if (!ends_line(rest[5])) return std::nullopt;
  return CsvSeparator{rest[4], start + 5};
}

enum class Shape { kEmpty, kWhole, kPoint, kComma, kOther };

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// What a cell is, if it is a number. "1.234,5" is none.
Shape shape_of(std::string_view cell) {
  const auto first = cell.find_first_not_of(" \t");
  if (first == std::string_view::npos) return Shape::kEmpty;
  cell = cell.substr(first, cell.find_last_not_of(" \t") - first + 1);
  std::size_t at = cell[0] == '+' || cell[0] == '-' ? 1 : 0;
  const auto digits = [&] {
    const std::size_t from = at;
    while (at < cell.size() && is_digit(cell[at])) ++at;
    return at - from;
  };
  std::size_t count = digits();
  Shape shape = Shape::kWhole;
  if (at < cell.size() && (cell[at] == '.' || cell[at] == ',')) {
    shape = cell[at] == '.' ? Shape::kPoint : Shape::kComma;
    ++at;
    count += digits();
  }
  if (count == 0) return Shape::kOther;
  if (at < cell.size() && (cell[at] == 'e' || cell[at] == 'E')) {
    ++at;
    if (at < cell.size() && (cell[at] == '+' || cell[at] == '-')) ++at;
    if (digits() == 0) return Shape::kOther;
  }
  return at == cell.size() ? shape : Shape::kOther;
}

// "1,234" and "-12,345"; not "0,123", "1,23" and "1234,567".
bool may_be_thousands(std::string_view cell) {
  const std::size_t comma = cell.find(',');
  const std::size_t first = cell.find_first_not_of(" \t+-");
  const std::size_t last = cell.find_last_not_of(" \t");
  return first < comma && comma - first <= 3 && cell[first] != '0' &&
         last - comma == 3;
}

struct Cell {
  std::size_t row = 0;
  std::size_t column = 0;
};

struct Marks {
  std::optional<Cell> point;
  std::optional<Cell> comma;
  bool all_thousands = true;  ///< every comma may stand between thousands
  std::vector<Cell> commas;
};

void look_at_column(const std::vector<std::vector<std::string>>& cells,
                    std::size_t column,
                    Marks& marks) {
  std::vector<Shape> shapes;
  for (const auto& row : cells) {
    shapes.push_back(shape_of(row[column]));
    if (shapes.back() == Shape::kOther) return;
  }
  for (std::size_t r = 0; r < shapes.size(); ++r) {
    if (shapes[r] == Shape::kPoint && !marks.point) marks.point = {r, column};
    if (shapes[r] != Shape::kComma) continue;
    if (!marks.comma) marks.comma = {r, column};
    marks.commas.push_back({r, column});
    if (!may_be_thousands(cells[r][column])) marks.all_thousands = false;
  }
}

}  // namespace

CsvSeparator csv_separator(std::string_view text, const std::string& name) {
  const std::size_t start = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  if (const auto said = said_separator(text, start)) return *said;
  const std::string_view body = text.substr(start);
  const std::map<char, int> counts = signs_in_header(body);
  if (counts.empty()) return {',', start};
  if (counts.size() == 1) return {counts.begin()->first, start};
  std::vector<char> agreeing;
  for (const auto& [sign, count] : counts) {
    if (lines_agree(body, sign)) agreeing.push_back(sign);
  }
  if (agreeing.size() == 1) return {agreeing[0], start};
  throw InputError(name,
                   "the header line has commas, semicolons or tabs together, "
                   "and it cannot be told which of them separate the fields",
                   "Save it with commas between the fields");
}

bool settle_decimal_commas(const std::string& name,
                           const std::vector<std::string>& header,
                           const std::vector<std::size_t>& lines,
                           std::vector<std::vector<std::string>>& cells) {
  Marks marks;
  for (std::size_t c = 0; c < header.size(); ++c) {
    look_at_column(cells, c, marks);
  }
  if (!marks.comma) return false;
  const auto place = [&](const Cell& cell) {
    return fmt::format(
        "{}:{}, column '{}'", name, lines[cell.row], header[cell.column]);
  };
  const auto text = [&](const Cell& cell) {
    return cells[cell.row][cell.column];
  };
  if (marks.point) {
    throw InputError(place(*marks.comma),
                     fmt::format("'{}' has a decimal comma and '{}' (line {}, "
                                 "column '{}') a decimal point",
                                 text(*marks.comma),
                                 text(*marks.point),
                                 lines[marks.point->row],
                                 header[marks.point->column]),
                     "Save it with one decimal sign");
  }
  if (marks.all_thousands) {
    std::string without = text(*marks.comma);
    std::erase(without, ',');
    throw InputError(
        place(*marks.comma),
        fmt::format(
            "'{}' may be {} or a decimal comma", text(*marks.comma), without),
        "Save it with '.' as the decimal sign and nothing between "
        "thousands");
  }
  for (const Cell& one : marks.commas) {
    std::string& cell = cells[one.row][one.column];
    cell[cell.find(',')] = '.';
  }
  return true;
}

}  // namespace evenfeed
