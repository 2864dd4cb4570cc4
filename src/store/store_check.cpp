// SPDX-License-Identifier: MIT
#include "store/store_check.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

void check_pages(Database& database, StoreCheck& found) {
  Statement rows(database, "PRAGMA integrity_check(20)");
  while (rows.step()) {
    if (!rows.equals(0, "ok")) found.faults.push_back(rows.text(0));
  }
}

void check_references(Database& database, StoreCheck& found) {
  Statement rows(database, "PRAGMA foreign_key_check");
  while (rows.step()) {
    found.faults.push_back(
        fmt::format("a row of table '{}' refers to a row of '{}' that is not "
                    "there",
                    rows.text(0),
                    rows.text(2)));
  }
}

// One row per session: what stands with it beside what its feeds say.
constexpr std::string_view kCountQuery =
    "SELECT session.id, session.feeds, keep, review, discard, "
    "count(feed.feed), coalesce(sum(verdict = 'keep'), 0), "
    "coalesce(sum(verdict = 'review'), 0), "
    "coalesce(sum(verdict = 'discard'), 0), coalesce(min(feed.feed), 1), "
    "sum(status NOT IN ('measured', 'extrapolated', 'unmeasured')), "
    "length(source_sha256) <> 64 OR source_sha256 GLOB '*[^0-9a-f]*', "
    "summary IS NOT NULL AND NOT json_valid(summary), "
    "baseline IS NOT NULL AND NOT json_valid(baseline) "
    "FROM session LEFT JOIN feed ON session_id = session.id "
    "GROUP BY session.id";

void check_sessions(Database& database, StoreCheck& found) {
  Statement row(database, kCountQuery);
  const auto fault = [&](const std::string& words) {
    found.faults.push_back(
        fmt::format("session {}: {}", row.integer(0), words));
  };
  constexpr const char* kCounted[] = {"feeds", "keep", "review", "discard"};
  while (row.step()) {
    ++found.sessions;
    found.feeds += static_cast<int>(row.integer(5));
    for (int i = 0; i < 4; ++i) {
      if (row.integer(1 + i) != row.integer(5 + i)) {
        fault(fmt::format("{} {} are written down, {} are there",
                          row.integer(1 + i),
                          kCounted[i],
                          row.integer(5 + i)));
      }
    }
    if (row.integer(9) < 1) fault("a feed has a number below 1");
    if (row.integer(10) > 0) fault("a feed has a status nobody knows");
    if (row.integer(11) != 0) fault("the film's fingerprint is none");
    if (row.integer(12) != 0) fault("its summary is not JSON");
    if (row.integer(13) != 0) fault("its baseline is not JSON");
  }
}

void check_services(Database& database, StoreCheck& found) {
  Statement row(database, "SELECT id, kind FROM service");
  while (row.step()) {
    if (!find_service_kind(row.text(1))) {
      found.faults.push_back(
          fmt::format("service entry {} is of a kind nobody knows: '{}'",
                      row.integer(0),
                      row.text(1)));
    }
  }
}

}  // namespace

StoreCheck check_store(Database& database) {
  StoreCheck found;
  check_pages(database, found);
  // What stands on broken pages is not worth asking.
  if (!found.faults.empty()) return found;
  check_references(database, found);
  check_sessions(database, found);
  check_services(database, found);
  return found;
}

}  // namespace evenfeed
