// SPDX-License-Identifier: MIT
#include "cli/wear_words.h"

#include "base/broken_lines.h"
#include "cli/wrapped.h"
#include "support/worn_history.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE(
    "a launcher's wear fits a screen of 80 columns, a sentence a measure") {
  const WearHistory history = worn_history(true);
  const WearResult result = judge_wear(history, WearOptions());
  const std::string words = wear_words(result);
  REQUIRE(result.of(Measure::kSpeed).alarm());
  const std::size_t at = words.find("\nspeed at the bounce: ");
  REQUIRE(at != std::string::npos);
  const std::string line = words.substr(at, words.find('\n', at + 1) - at);
  CHECK(line.find(" % per 1000 feeds (") != std::string::npos);
  CHECK(line.ends_with(" <- look"));
  int lines = 0;
  const std::string wrapped = wrapped_lines(words, 80);
  std::string_view rest = wrapped;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    CAPTURE(rest.substr(0, end));
    CHECK(characters(rest.substr(0, end)) <= 80);
    ++lines;
    if (end == std::string_view::npos) break;
    rest.remove_prefix(end + 1);
  }
  CHECK(lines > 15);
}
