// SPDX-License-Identifier: MIT
// Files as spreadsheets save them, invented.
#include "base/csv.h"
#include "base/error.h"

#include <chrono>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::string refusal(std::string_view text) {
  try {
    (void)CsvTable::parse(text, "a.csv");
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

bool has(const std::string& text, const char* part) {
  return text.find(part) != std::string::npos;
}

double processor_s(const std::string& text) {
  const std::clock_t start = std::clock();
  (void)CsvTable::parse(text, "long.csv");
  return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

}  // namespace

TEST_CASE("semicolons and tabs with decimal commas are read, and told") {
  for (const char* text :
       {"feed;x_mm;note\r\n1;650,25;left, low\r\n2;-7,5;\r\n",
        "feed\tx_mm\tnote\n1\t650,25\tleft, low\n2\t-7,5\t\n",
        "sep=;\nfeed;x_mm;note\n1;650,25;left, low\n2;-7,5;\n"}) {
    CAPTURE(text);
    const CsvTable table = CsvTable::parse(text, "a.csv");
    REQUIRE(table.rows() == 2);
    const std::size_t x = table.require_column("x_mm");
    CHECK(table.require_number(0, x) == 650.25);
    CHECK(table.require_number(1, x) == -7.5);
    CHECK(table.text(0, table.require_column("note")) == "left, low");
    CHECK(has(table.note(), "read with "));
    CHECK(has(table.note(), "decimal commas"));
  }
  const CsvTable points = CsvTable::parse("feed;x_mm\n1;6.5\n", "a.csv");
  CHECK(points.require_number(0, 1) == 6.5);
  CHECK(points.note() == "read with semicolons between the fields");
  CHECK(CsvTable::parse("feed,x_mm\n1,6.5\n", "a.csv").note().empty());
}

TEST_CASE("what is read with decimal commas is written with points") {
  const CsvTable table = CsvTable::parse("feed;x_mm\n1;6,5\n", "a.csv");
  CsvWriter out(table.header());
  out.add_row(table.row(0));
  CHECK(out.text() == "feed,x_mm\n1,6.5\n");
}

TEST_CASE("a number that may mean two things is refused") {
  // Every comma may stand between thousands.
  CHECK(has(refusal("feed;x_mm\n1;1,204\n2;1,198\n"),
            "a.csv:2, column 'x_mm': '1,204' may be 1204 or a decimal comma"));
  // One that cannot settles it.
  CHECK(refusal("feed;x_mm\n1;1,204\n2;1,19\n").empty());
  CHECK(refusal("feed;x_mm\n1;0,204\n").empty());
  CHECK(has(refusal("feed;x_mm;y_mm\n1;1,25;3.5\n"),
            "'1,25' has a decimal comma and '3.5' (line 2, column 'y_mm')"));
  // Words are no numbers, whatever they hold.
  CHECK(refusal("feed;x_mm;note\n1;1,25;3.5\n2;1,5;soft\n").empty());
}

TEST_CASE("a header with two separators is settled by the rows, or refused") {
  const CsvTable commas =
      CsvTable::parse("feed,x_mm,a;b\n1,2,3\n4,5,6\n", "a.csv");
  CHECK(commas.header().size() == 3);
  const CsvTable semicolons = CsvTable::parse("feed;x,y\n1;2\n4;5\n", "a.csv");
  CHECK(semicolons.header().size() == 2);
  CHECK(has(refusal("feed;a,b\n1,2;3\n"), "cannot be told which"));
}

TEST_CASE("what is no CSV is named") {
  using namespace std::string_view_literals;
  struct Case {
    std::string_view bytes;
    const char* word;
  };
  const Case cases[] = {
      {"PK\x03\x04\x14\0\x06\0"sv, "a spreadsheet"},
      {"\xd0\xcf\x11\xe0\xa1\xb1"sv, "an older kind"},
      {"\0\0\0\x20"
       "ftypisom"sv,
       "a film"},
      {"\x1a\x45\xdf\xa3"sv, "a film"},
      {"SQLite format 3\0"sv, "a store"},
      {"\xff\xfe"
       "f\0e\0"sv,
       "UTF-16"},
      {"f\0e\0e\0d\0,\0x\0\n\0"sv, "UTF-16"},
      {"feed,x\n1,Gr\xf6\xdf\x65\n"sv, "a.csv:2: this is not text in UTF-8"},
  };
  int refused = 0;
  for (const Case& one : cases) {
    CAPTURE(one.word);
    const std::string message = refusal(one.bytes);
    CHECK(has(message, one.word));
    CHECK(has(message, "CSV"));
    refused += message.empty() ? 0 : 1;
  }
  CHECK(refused == 8);
}

TEST_CASE("cells a spreadsheet would run get an apostrophe and lose it again") {
  CsvWriter out({"name", "x"});
  const std::vector<std::string> names = {"=SUM(1+1)*cmd|' /C calc'!A0",
                                          "-2+3",
                                          "+1-1",
                                          "@here",
                                          "\tx",
                                          "'=1",
                                          "''-x",
                                          "'quoted'",
                                          "plain"};
  for (const std::string& name : names) out.add_row({name, "-1.5"});
  CHECK(has(out.text(), "\n'-2+3,-1.5\n"));
  CHECK(has(out.text(), "\n''=1,"));
  CHECK(has(out.text(), "\n'quoted',"));
  for (const char* formula : {"\n=", "\n-2+3", "\n+", "\n@", "\n\t"}) {
    CHECK_FALSE(has(out.text(), formula));
  }
  const CsvTable back = CsvTable::parse(out.text(), "a.csv");
  REQUIRE(back.rows() == names.size());
  for (std::size_t r = 0; r < names.size(); ++r) {
    CHECK(back.text(r, 0) == names[r]);
  }
}

TEST_CASE("other separators in names, and a lone empty field, read back") {
  for (const std::vector<std::string>& header :
       std::vector<std::vector<std::string>>{
           {"a;b"}, {"a;b", "c"}, {"a\tb"}, {"sep=;"}, {""}}) {
    CAPTURE(header[0]);
    CsvWriter out(header);
    out.add_row(std::vector<std::string>(header.size()));
    out.add_row(std::vector<std::string>(header.size(), "1;2"));
    const CsvTable back = CsvTable::parse(out.text(), "a.csv");
    CHECK(back.header() == header);
    REQUIRE(back.rows() == 2);
    CHECK(back.text(0, 0).empty());
    CHECK(back.text(1, 0) == "1;2");
  }
}

TEST_CASE("a bad cell of megabytes makes a short message") {
  const std::string text = "x\n" + std::string(2'000'000, '7') + "z\n";
  const CsvTable table = CsvTable::parse(text, "a.csv");
  try {
    (void)table.number(0, 0);
    FAIL("a number?");
  } catch (const InputError& error) {
    const std::string message = error.what();
    CHECK(message.size() < 1000);
    CHECK(has(message, "z' is not a number"));
  }
}

TEST_CASE("time grows as the number of columns does") {
  const auto wide = [](int columns) {
    std::string header;
    std::string row;
    for (int c = 0; c < columns; ++c) {
      header += (c > 0 ? ",c" : "c") + std::to_string(c);
      row += c > 0 ? ",1" : "1";
    }
    return header + "\n" + row + "\n";
  };
  // With a search per column, 16 times the columns take 256 times as long.
  const double few_s = std::max(processor_s(wide(5'000)), 1e-3);
  CHECK(processor_s(wide(80'000)) < 80 * few_s);
}
