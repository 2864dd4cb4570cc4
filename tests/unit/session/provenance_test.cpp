// SPDX-License-Identifier: MIT
#include "session/provenance.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a file older than its own film is told, a later copy is not") {
  const UnixSeconds taken = *parse_date_time("2026-03-14T15:30");
  const UnixSeconds day_s = 86400;
  for (const UnixSeconds later : {-day_s, UnixSeconds{0}, 400 * day_s}) {
    CHECK(date_doubt(taken, taken + later).empty());
  }
  const std::string doubt = date_doubt(taken, taken - day_s - 1);
  for (const char* part : {"taken on 2026-03-14",
                           "last written on 2026-03-13",
                           "the first was used",
                           "--date"}) {
    CAPTURE(part);
    CHECK(doubt.find(part) != std::string::npos);
  }
}
