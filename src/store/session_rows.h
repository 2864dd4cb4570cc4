// SPDX-License-Identifier: MIT
// Sessions, feeds and service entries as rows, and back.
#pragma once

#include "session/store.h"
#include "store/sqlite_database.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

/// Within the caller's transaction. `in_place_of`: that session goes, and the
/// new one gets its number.
int insert_session(Database& database,
                   const SessionRecord& record,
                   std::optional<int> in_place_of);
int insert_service(Database& database, const ServiceEvent& event);

std::optional<SessionHead> find_session_head(Database& database,
                                             const std::string& sha256);
/// In order of time; of every launcher when `launcher` is empty.
std::vector<SessionHead> session_heads(Database& database,
                                       const std::string& launcher);
/// Throws InputError when there is no such session.
SessionRecord read_session(Database& database, int id);
void read_series(Database& database,
                 const std::vector<SessionHead>& heads,
                 const std::vector<Characteristic>& characteristics,
                 const std::function<void(const SessionSeries&)>& visit);

}  // namespace evenfeed
