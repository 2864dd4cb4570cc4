// SPDX-License-Identifier: MIT
#include "session/session_record.h"

#include "session/service_event.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("properties: key = value") {
  CHECK(parse_property("hardness=47") == Property{"hardness", "47"});
  CHECK(parse_property(" glue  = water based ") ==
        Property{"glue", "water based"});
  CHECK(parse_property("a=b=c") == Property{"a", "b=c"});
  int refused = 0;
  for (const char* text : {"", "hardness", "=47", "hardness=", "  = 4"}) {
    CHECK_FALSE(parse_property(text).has_value());
    ++refused;
  }
  CHECK(refused == 5);
}

TEST_CASE("service kinds: name and back") {
  int tried = 0;
  for (const auto kind : {ServiceKind::kWheelCleaned,
                          ServiceKind::kWheelReplaced,
                          ServiceKind::kNewBalls,
                          ServiceKind::kLauncherMoved,
                          ServiceKind::kMotorServiced}) {
    CHECK(find_service_kind(service_kind_name(kind)) == kind);
    CHECK_FALSE(service_kind_words(kind).empty());
    ++tried;
  }
  CHECK(tried == 5);
  CHECK_FALSE(find_service_kind("polished").has_value());
  CHECK(service_kind_names().back() == "motor-serviced");
}
