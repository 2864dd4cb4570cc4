// SPDX-License-Identifier: MIT
#include "cli/written_files.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("what was written is told with what it is for") {
  CHECK(words_with_written("",
                           {{"out/pair.html", "the page: open it"},
                            {"", "not asked for"},
                            {"-", "standard output"},
                            {"out/b.csv", "numbers"}}) ==
        "written:\n"
        "  out/pair.html  the page: open it\n"
        "  out/b.csv      numbers\n");
  CHECK(words_with_written("a\n", {{"b", "c"}}) == "a\n\nwritten:\n  b  c\n");
  CHECK(words_with_written("a\n", {{"", "not asked for"}, {"-", "piped"}}) ==
        "a\n");
}

TEST_CASE("JSON gets the list of files, and nothing when there are none") {
  const std::string json = "{\n  \"z\": 0.1,\n  \"a\": null\n}\n";
  CHECK(json_with_written(json, {{"", "not asked for"}, {"-", "piped"}}) ==
        json);
  CHECK(json_with_written(json, {{"o/a.csv", "numbers"}, {"-", "piped"}}) ==
        "{\n  \"z\": 0.1,\n  \"a\": null,\n  \"written\": [\n"
        "    \"o/a.csv\"\n  ]\n}\n");
}
