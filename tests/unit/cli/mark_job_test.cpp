// SPDX-License-Identifier: MIT
#include "cli/mark_job.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("page and marks are named after the bench and lie beside it") {
  const MarkFiles beside = mark_files("out/bench.toml", "films/film.mp4");
  CHECK(beside.page == "out/bench-mark.html");
  CHECK(beside.marks == "out/bench-marks.csv");
  const MarkFiles shown = mark_files("-", "films/film.mp4");
  CHECK(shown.page == "film-mark.html");
  CHECK(shown.marks == "film-marks.csv");
}
