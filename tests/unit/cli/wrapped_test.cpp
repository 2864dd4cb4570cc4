// SPDX-License-Identifier: MIT
#include "cli/wrapped.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("sentences are broken between words, at the width at most") {
  CHECK(wrapped_lines("one two three four five six\nseven\n", 20) ==
        "one two three four\nfive six\nseven\n");
  CHECK(wrapped_lines("exactly twenty chars\n", 20) ==
        "exactly twenty chars\n");
  CHECK(wrapped_lines("exactly twenty-1 char\n", 20) ==
        "exactly twenty-1\nchar\n");
  CHECK(wrapped_lines("no end of the line, yet more", 20) ==
        "no end of the line,\nyet more");
  CHECK(wrapped_lines("", 20).empty());
  CHECK(wrapped_lines("\n\n", 20) == "\n\n");
}

TEST_CASE("what goes on stands below its beginning") {
  CHECK(wrapped_lines("  - one two three four five\n", 20) ==
        "  - one two three\n    four five\n");
  CHECK(wrapped_lines("  one two three four five\n", 20) ==
        "  one two three four\n  five\n");
}

TEST_CASE("characters are counted, not bytes") {
  CHECK(wrapped_lines("ö ä ü ö ä ü ö ä ü ö\n", 20) == "ö ä ü ö ä ü ö ä ü ö\n");
  CHECK(wrapped_lines("ö ä ü ö ä ü ö ä ü öö ä\n", 20) ==
        "ö ä ü ö ä ü ö ä ü öö\nä\n");
}

TEST_CASE("tables and long words are left as they are") {
  const std::string table = "  name       1.23     4.56 mm\n";
  CHECK(wrapped_lines(table, 20) == table);
  CHECK(wrapped_lines("see /a/very/long/name/of/a/file.csv now\n", 20) ==
        "see\n/a/very/long/name/of/a/file.csv\nnow\n");
  CHECK(wrapped_lines("a terminal of no width tells nothing", 0) ==
        "a terminal of no width tells nothing");
}
