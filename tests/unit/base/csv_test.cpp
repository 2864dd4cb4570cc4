// SPDX-License-Identifier: MIT
#include "base/csv.h"

#include "base/error.h"

#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::string csv_refusal(std::string_view text) {
  try {
    const CsvTable table = CsvTable::parse(text, "a.csv");
    for (std::size_t r = 0; r < table.rows(); ++r) {
      for (std::size_t c = 0; c < table.header().size(); ++c) {
        table.number(r, c);
      }
    }
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("fields are found by name, in any order, quoted or not") {
  const CsvTable table =
      CsvTable::parse("b,a\r\n2,\"one, \"\"1\"\"\"\r\n,x\r\n", "a.csv");
  REQUIRE(table.rows() == 2);
  CHECK(table.text(0, table.require_column("a")) == "one, \"1\"");
  CHECK(table.number(0, table.require_column("b")) == 2.0);
  CHECK_FALSE(table.number(1, table.require_column("b")).has_value());
  CHECK_FALSE(table.column("c").has_value());
}

TEST_CASE("the last line needs no line end and may close on an empty field") {
  const CsvTable table = CsvTable::parse("a,b\n1,", "a.csv");
  REQUIRE(table.rows() == 1);
  CHECK(table.text(0, 1).empty());
}

TEST_CASE("a bad file is refused by file, line and column") {
  CHECK(csv_refusal("").find("a.csv: the file is empty") == 0);
  CHECK(csv_refusal("a,a\n1,2\n").find("'a' stands twice") !=
        std::string::npos);
  CHECK(csv_refusal("a,b\n1,2\n3\n").find("a.csv:3: 1 fields") == 0);
  CHECK(csv_refusal("a\n\"1\n").find("never closed") != std::string::npos);
  for (const char* bad : {"x", "1 2", "nan", "inf", "1,5e", "0x10", "1e999"}) {
    const std::string cell = std::string("\"") + bad + "\"";
    const std::string message = csv_refusal("a,b\n1,2\n3," + cell + "\n");
    CAPTURE(bad);
    CHECK(message.find("a.csv:3, column 'b'") == 0);
  }
}

TEST_CASE("what is written reads back") {
  CsvWriter out({"name", "value"});
  out.add_row({"a \"b\", c", csv_number(-1.25, 2)});
  out.add_row({"", csv_number(std::numeric_limits<double>::quiet_NaN(), 2)});
  const CsvTable table = CsvTable::parse(out.text(), "out");
  REQUIRE(table.rows() == 2);
  CHECK(table.text(0, 0) == "a \"b\", c");
  CHECK(table.require_number(0, 1) == -1.25);
  CHECK_FALSE(table.number(1, 1).has_value());
  CHECK(csv_number(-0.0001, 2) == "0.00");
}

TEST_CASE("a byte order mark within the text is no part of a name either") {
  for (const char* text : {"\r\xef\xbb\xbf\xef\xbb\xbf"
                           "feed,x_mm\n1,2\n",
                           "\"\xef\xbb\xbf"
                           "feed\",x_mm\n1,2\n"}) {
    const CsvTable table = CsvTable::parse(text, "marks.csv");
    CHECK(table.header() == std::vector<std::string>{"feed", "x_mm"});
  }
}

TEST_CASE("csv: a byte order mark is no part of the first name") {
  CHECK(CsvTable::parse("\xEF\xBB\xBF"
                        "a,b\n1,2\n",
                        "a.csv")
            .column("a"));
}

TEST_CASE("csv: what holds zero bytes is no text") {
  const std::string text("feed,x\n1,2\n\0,3\n", 15);
  CHECK_THROWS_WITH_AS(CsvTable::parse(text, "f.csv"),
                       doctest::Contains("f.csv:3: this is not text"),
                       InputError);
}
