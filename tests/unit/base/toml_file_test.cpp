// SPDX-License-Identifier: MIT
#include "base/toml_file.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a key of thousands of parts is refused before it is parsed") {
  std::string deep = "a";
  for (int i = 0; i < 50000; ++i) deep += ".a";
  for (const std::string& text :
       {"\n" + deep + " = 1\n", "\n[" + deep + "]\n", "\n'x'." + deep + "=1"}) {
    CHECK_THROWS_WITH_AS(TomlTable::parse(text, "deep.toml"),
                         doctest::Contains("deep.toml:2"),
                         InputError);
  }
}

TEST_CASE("many numbers in a line, and dots in a text, are no deep key") {
  std::string text = "cells = [0.5";
  for (int i = 0; i < 300; ++i) text += ", 0.5";
  text += "]\nwords = \"" + std::string(300, '.') + "\"\n";
  text += "[a.b.c]\nd.e.f = 1.5\n";
  const TomlTable table = TomlTable::parse(text, "flat.toml");
  CHECK(table.numbers("cells").size() == 301);
  CHECK(table.text("words").size() == 300);
}
