// SPDX-License-Identifier: MIT
#include "base/broken_lines.h"

#include <doctest/doctest.h>

using namespace evenfeed;

using Lines = std::vector<std::string>;

TEST_CASE("lines are as long as they may be, and no longer") {
  CHECK(broken_lines("one two three", 7, 5) == Lines{"one two", "three"});
  CHECK(broken_lines("one two three", 6, 9) == Lines{"one", "two three"});
  CHECK(broken_lines("one two three", 6, 8) == Lines{"one", "two", "three"});
  CHECK(broken_lines("one two three", 99, 1) == Lines{"one two three"});
}

TEST_CASE("a long word has a line of its own, spaces are no words") {
  CHECK(broken_lines("a enormous b", 4, 4) == Lines{"a", "enormous", "b"});
  CHECK(broken_lines(" a  b ", 4, 4) == Lines{"a b"});
  CHECK(broken_lines("", 4, 4) == Lines{""});
}

TEST_CASE("characters are counted, not bytes") {
  CHECK(characters("1 \xC2\xB1 2") == 5);
  CHECK(broken_lines("\xC3\xA4\xC3\xA4 \xC3\xA4\xC3\xA4", 5, 5) ==
        Lines{"\xC3\xA4\xC3\xA4 \xC3\xA4\xC3\xA4"});
}
