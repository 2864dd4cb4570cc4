// SPDX-License-Identifier: MIT
#include "cli/text_table.h"

#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a cell is one line, and no terminal obeys it") {
  TextTable table({{"launcher"}, {"n", Align::kRight}});
  table.add_row({"a\nb \x1b[31m", "5"});
  CHECK(table.text() ==
        "launcher       n\n"
        "a\\nb \\x1b[31m  5\n");
}

TEST_CASE("a table's columns line up, by characters") {
  TextTable table({{"name"}, {"n", Align::kRight}, {"note"}});
  table.add_row({"Bö", "5", ""});
  table.add_row({"long name", "123", "x"});
  CHECK(table.text() ==
        "name         n  note\n"
        "Bö           5\n"
        "long name  123  x\n");
  CHECK(TextTable({{"a"}}).text() == "a\n");
  CHECK_THROWS_AS(table.add_row({"too", "few"}), std::logic_error);
}
