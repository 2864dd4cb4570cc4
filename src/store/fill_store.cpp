// SPDX-License-Identifier: MIT
#include "store/fill_store.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "store/sqlite_store.h"

#include <cerrno>
#include <cstdio>
#include <system_error>

#include <fcntl.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

// A store in the making, with what SQLite keeps beside it.
class UnfinishedStore {
 public:
  explicit UnfinishedStore(const fs::path& path)
      : path_(path), pending_(path) {}
  ~UnfinishedStore() {
    for (const char* beside : {"-wal", "-shm", "-journal"}) {
      std::error_code ignored;
      fs::remove(file().string() + beside, ignored);
    }
  }
  UnfinishedStore(const UnfinishedStore&) = delete;
  UnfinishedStore& operator=(const UnfinishedStore&) = delete;

  const fs::path& file() const { return pending_.temporary(); }

  /// False: another store is there by now.
  bool take_place() {
    if (!rename_if_free()) return false;
    // The name must be on the disk too before the filing counts.
    sync_folder_of(path_);
    return true;
  }

  /// A message about the file in the making, told about the store.
  std::string told_of_store(std::string message) const {
    const std::string name = file().string();
    for (std::size_t at = message.find(name); at != std::string::npos;
         at = message.find(name, at + path_.string().size())) {
      message.replace(at, name.size(), path_.string());
    }
    return message;
  }

 private:
  bool rename_if_free() {
    const char* from = file().c_str();
    if (::renameat2(
            AT_FDCWD, from, AT_FDCWD, path_.c_str(), RENAME_NOREPLACE) == 0) {
      return true;
    }
    if (errno == EEXIST) return false;
    // A file system that cannot promise it.
    std::error_code none;
    if (fs::exists(path_, none)) return false;
    pending_.commit();
    return true;
  }

  fs::path path_;
  PendingFile pending_;
};

}  // namespace

void fill_store(const fs::path& path,
                const std::function<void(Store&)>& work,
                const StoreOptions& options) {
  std::error_code none;
  if (!fs::exists(path, none)) {
    UnfinishedStore made(path);
    try {
      // Closed at the end: nothing of it stays in the log.
      work(*open_store(made.file(), StoreUse::kFile, options));
    } catch (const InputError& error) {
      throw InputError(made.told_of_store(error.what()));
    }
    if (made.take_place()) return;
  }
  work(*open_store(path, StoreUse::kFile, options));
}

}  // namespace evenfeed
