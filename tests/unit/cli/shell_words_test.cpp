// SPDX-License-Identifier: MIT
#include "cli/shell_words.h"

#include "support/temp_dir.h"

#include <cstdlib>
#include <fstream>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("plain words stay as they are, others are quoted") {
  CHECK(shell_command({"evenfeed", "calibrate", "a/film-1.mp4"}) ==
        "evenfeed calibrate a/film-1.mp4");
  CHECK(shell_command({"my film.mp4", ""}) == "'my film.mp4' ''");
  CHECK(in_quotes("it's") == "'it'\\''s'");
}

TEST_CASE("a shell reads the words back") {
  const TempDir folder("shell-words");
  const std::string out = (folder / "out").string();
  const std::vector<std::string> words{
      "a b", "it's", "$HOME", "`id`", "\"", "*", "~", "#", "\\", ";x", "a\nb"};
  std::vector<std::string> all{"printf", "%s|"};
  all.insert(all.end(), words.begin(), words.end());
  REQUIRE(std::system((shell_command(all) + " >" + in_quotes(out)).c_str()) ==
          0);
  std::string expected, read;
  for (const std::string& word : words) expected += word + "|";
  std::ifstream file(out);
  read.assign(std::istreambuf_iterator<char>(file), {});
  CHECK(read == expected);
}
