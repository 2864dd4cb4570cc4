// SPDX-License-Identifier: MIT
#include "cli/bench_keys.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// "word text" of every wish that these keys come to.
std::vector<std::string> wishes(BenchKeys& keys, const std::string& typed) {
  std::vector<std::string> all;
  for (const char byte : typed) {
    if (const auto wish = keys.typed(byte)) {
      all.push_back(wish->word + (wish->text.empty() ? "" : " " + wish->text));
    }
  }
  return all;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("letters act at once, or begin a text") {
  BenchKeys keys;
  CHECK(wishes(keys, "x\nu") == Words{"exclude", "step", "undo"});
  CHECK(wishes(keys, "sglass xu\rb3\r") == Words{"sample glass xu", "ball 3"});
  CHECK(wishes(keys, "h?zZ 9") == Words{"help", "help"});
}

TEST_CASE("what is typed is shown, taken back and left") {
  BenchKeys keys;
  CHECK(keys.prompt().empty());
  CHECK(wishes(keys, "nto\xc3\xb6\x7f").empty());
  CHECK(keys.prompt() == "note: to_");
  CHECK(wishes(keys, "\x7f\x7f\x7fnet\r") == Words{"note net"});
  CHECK(wishes(keys, "sK\x1b").empty());
  CHECK(keys.prompt().empty());
  CHECK(wishes(keys, "sM\r") == Words{"sample M"});
  CHECK(wishes(keys, "n" + std::string(5000, 'a')).empty());
  CHECK(keys.prompt().size() < 300);
}

TEST_CASE("arrow keys mean nothing, and one key ends no session") {
  BenchKeys keys;
  CHECK(wishes(keys, "\x1b[A\x1b[B\x1b[C\x1b[D").empty());
  CHECK(wishes(keys, "q\r").empty());
  CHECK(wishes(keys, "qn\r").empty());
  CHECK(wishes(keys, "qy\r") == Words{"end"});
}
