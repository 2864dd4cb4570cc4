// SPDX-License-Identifier: MIT
#include "base/nearest.h"

#include <doctest/doctest.h>

namespace evenfeed {

TEST_CASE("letters put in, left out, replaced and swapped are counted") {
  CHECK(edit_distance("", "") == 0);
  CHECK(edit_distance("abc", "") == 3);
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("sesion", "session") == 1);
  CHECK(edit_distance("sessoin", "session") == 1);
  // Optimal string alignment: 3; with letters touched twice it would be 2.
  CHECK(edit_distance("ca", "abc") == 3);
  CHECK(edit_distance("abc", "ca") == 3);
}

TEST_CASE("the nearest known word is meant, or none") {
  const std::vector<std::string> commands{
      "session", "simulate", "store", "report", "calibrate", "measure"};
  CHECK(nearest_word("sesion", commands) == "session");
  CHECK(nearest_word("sotre", commands) == "store");
  CHECK(nearest_word("calib", commands) == "calibrate");
  CHECK(nearest_word("nonsense", commands).empty());
  CHECK(nearest_word("", commands).empty());
  CHECK(nearest_word("x", {"y"}).empty());
  CHECK(nearest_word("tennis", {"pickleball", "table-tennis"}) ==
        "table-tennis");
  // Two that begin so: neither is meant more than the other.
  CHECK(nearest_word("pair", {"pairs_left", "pairs_right"}).empty());
}

TEST_CASE("a hint is a sentence, or nothing") {
  CHECK(did_you_mean("sesion", {"session"}) == ". Did you mean 'session'?");
  CHECK(did_you_mean("colour", {"session"}).empty());
}

}  // namespace evenfeed
