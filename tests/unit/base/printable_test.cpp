// SPDX-License-Identifier: MIT
#include "base/printable.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("printable: what a terminal would obey is shown instead") {
  CHECK(printable("plain") == "plain");
  CHECK(printable("\x1b[2J\a") == "\\x1b[2J\\x07");
  CHECK(printable("a\nb\rc\td\x7f") == "a\\nb\\rc\\td\\x7f");
  CHECK(printable(std::string("a\0b", 3)) == "a\\x00b");
  // U+009B is CSI on terminals that know C1; a bare byte is no UTF-8.
  CHECK(printable("\xc2\x9b[2J") == "\\xc2\\x9b[2J");
  CHECK(printable("\x9b[2J") == "\\x9b[2J");
  CHECK(printable("Größe 5 µm 球") == "Größe 5 µm 球");
  CHECK(printable_lines("a\nb\x1b\n") == "a\nb\\x1b\n");
}

TEST_CASE("shortened: both ends stay, characters stay whole") {
  CHECK(shortened("short", 20) == "short");
  const std::string cut = shortened(std::string(1'000'000, '7'), 80);
  CHECK(cut.size() <= 80);
  CHECK(cut.find(" ... ") != std::string::npos);
  std::string wide;
  for (int i = 0; i < 100; ++i) wide += "ß";
  for (std::size_t most = 20; most < 30; ++most) {
    const std::string part = shortened(wide, most);
    CHECK_FALSE(first_not_utf8(part).has_value());
    CHECK(part.size() <= most);
  }
}

// The ill-formed sequences are those of RFC 3629, sections 3, 4 and 10.
TEST_CASE("first_not_utf8: the first byte that is none") {
  CHECK_FALSE(first_not_utf8("").has_value());
  CHECK_FALSE(first_not_utf8("aß球\xf0\x9f\x8f\x93").has_value());
  int cases = 0;
  for (const char* bad : {"\xff",
                          "\x80",
                          "\xc0\x80",
                          "\xc1\xbf",
                          "\xe0\x80\xaf",
                          "\xed\xa0\x80",
                          "\xf0\x80\x80\xaf",
                          "\xf4\x90\x80\x80",
                          "\xf5\x80\x80\x80",
                          "\xe2\x82",
                          "\xc3"}) {
    CAPTURE(cases);
    CHECK(first_not_utf8(std::string("ab") + bad) == 2);
    ++cases;
  }
  CHECK(cases == 11);
}
