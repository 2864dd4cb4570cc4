// SPDX-License-Identifier: MIT
// Is the store whole? SQLite's own check of its pages, the foreign keys, and
// what this program promises beyond: every session has all its feeds, numbered
// upwards, and the counts that stand with it; its texts can be read.
#pragma once

#include "session/store.h"
#include "store/sqlite_database.h"

namespace evenfeed {

StoreCheck check_store(Database& database);

}  // namespace evenfeed
