// SPDX-License-Identifier: MIT
// A store that is there whole or not at all.
#pragma once

#include "store/sqlite_store.h"

#include <filesystem>
#include <functional>

namespace evenfeed {

/// Does `work` on the store at `path`, opened to file. A store that is not
/// there yet is made under another name and takes its place, on the disk, when
/// `work` is done: when that fails, no empty store is left. When another
/// program has made one meanwhile, `work` is done again on that one.
void fill_store(const std::filesystem::path& path,
                const std::function<void(Store&)>& work,
                const StoreOptions& options = {});

}  // namespace evenfeed
