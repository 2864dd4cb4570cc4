// SPDX-License-Identifier: MIT
#include "base/date_time.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("dates: values that can be looked up") {
  CHECK(parse_date_time("1970-01-01") == 0);
  // The Unix billennium.
  CHECK(parse_date_time("2001-09-09T01:46:40Z") == 1000000000);
  CHECK(parse_date_time("2001-09-09 01:46:40") == 1000000000);
  CHECK(parse_date_time("2001-09-09T01:46") == 1000000000 - 40);
  CHECK(parse_date_time("2024-02-29") == 1709164800);
  CHECK(date_time_text(1000000000) == "2001-09-09T01:46:40Z");
  CHECK(date_text(1000000000) == "2001-09-09");
  CHECK(date_time_text(1709164800) == "2024-02-29T00:00:00Z");
}

TEST_CASE("dates: there and back") {
  int tried = 0;
  for (UnixSeconds when = 0; when < 4102444800; when += 86400 * 13 + 12345) {
    CHECK(parse_date_time(date_time_text(when)) == when);
    ++tried;
  }
  CHECK(tried > 3000);
}

TEST_CASE("dates: what is none") {
  int refused = 0;
  for (const char* text : {"",
                           "2026",
                           "2026-13-01",
                           "2026-00-10",
                           "2025-02-29",
                           "2026-04-31",
                           "1969-12-31",
                           "2026-3-14",
                           "14.03.2026",
                           "2026-03-14T",
                           "2026-03-14T24:00",
                           "2026-03-14T10:60",
                           "2026-03-14T10:30:61",
                           "2026-03-14x10:30",
                           "2026-03-14T10-30",
                           "2026-03-14T10:30+01:00",
                           "2026-03-1a"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_date_time(text).has_value());
    ++refused;
  }
  CHECK(refused == 17);
}
