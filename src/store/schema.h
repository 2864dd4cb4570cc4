// SPDX-License-Identifier: MIT
// The tables of the store, as steps from an empty file to today's version.
// PRAGMA user_version counts the steps taken. A step, once published, is never
// changed: old files have taken it.
#pragma once

#include "store/sqlite_database.h"

#include <string_view>
#include <vector>

namespace evenfeed {

/// What marks a SQLite file as one of ours ("EvFd", PRAGMA application_id).
inline constexpr int kStoreApplicationId = 0x45764664;

/// The SQL of each step; step i leads from version i to i + 1.
const std::vector<std::string_view>& schema_steps();
int schema_version();

/// Brings the store to today's version in one transaction; a store that held
/// sessions is first copied to "<file>.version-<n>". An empty file is set up.
/// Throws InputError: not our file, or a version this program does not know.
void bring_forward(Database& database);

/// Throws unless the store is ours and can be read as it is.
void require_current(Database& database);

}  // namespace evenfeed
