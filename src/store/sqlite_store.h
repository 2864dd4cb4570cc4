// SPDX-License-Identifier: MIT
// The store as a SQLite file: write-ahead log, every commit on the disk before
// it counts (synchronous = FULL), foreign keys held to.
#pragma once

#include "session/store.h"

#include <filesystem>
#include <functional>
#include <memory>

namespace evenfeed {

enum class StoreUse {
  kRead,   ///< looks only
  kWrite,  ///< the store must exist
  kFile,   ///< made when it does not exist
};

struct StoreOptions {
  int wait_ms = 30000;  ///< for another program that is writing
  int max_pages = 0;    ///< of the file, 0: no limit
  void check() const;
};

/// Throws InputError: no store, not a store, a newer version, no permission.
/// For kWrite and kFile an old store is first copied and brought forward, and
/// it is proved that the store can be written to.
std::unique_ptr<Store> open_store(const std::filesystem::path& path,
                                  StoreUse use,
                                  const StoreOptions& options = {});

}  // namespace evenfeed
