// SPDX-License-Identifier: MIT
#include "base/file_set.h"

#include "base/atomic_file.h"

#include <memory>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

// The folder and those above it that are not there yet.
std::vector<fs::path> absent_folders(const fs::path& folder) {
  std::vector<fs::path> absent;
  std::error_code ec;
  fs::path at = fs::absolute(folder, ec).lexically_normal();
  if (at.filename().empty()) at = at.parent_path();
  while (!at.empty() && at != at.parent_path() && !fs::exists(at, ec)) {
    absent.push_back(at);
    at = at.parent_path();
  }
  return absent;
}

}  // namespace

void write_files_whole(const std::vector<FileText>& files) {
  std::vector<std::unique_ptr<PendingFile>> pending;
  for (const FileText& one : files) {
    pending.push_back(std::make_unique<PendingFile>(one.path));
    pending.back()->write(one.bytes);
  }
  for (const auto& one : pending) one->sync();
  for (const auto& one : pending) one->commit();
}

OutputFolder::OutputFolder(fs::path folder) : made_(absent_folders(folder)) {
  make_folder(folder);
}

OutputFolder::~OutputFolder() {
  std::error_code ec;
  for (const fs::path& one : made_) {
    if (!fs::is_empty(one, ec) || ec) return;
    fs::remove(one, ec);
  }
}

StagedFolder::StagedFolder(const fs::path& folder)
    : folder_(folder), made_(folder) {
  const fs::path target = folder_ / "set";
  remove_leftovers(target);
  staging_ = folder_ / fmt::format(".set.{}.partial", ::getpid());
  make_folder(staging_);
}

StagedFolder::~StagedFolder() {
  std::error_code ignored;
  fs::remove_all(staging_, ignored);
}

void StagedFolder::commit() {
  std::vector<std::unique_ptr<OutputFolder>> folders;
  std::vector<std::unique_ptr<PendingFile>> pending;
  std::vector<fs::path> staged;
  std::error_code ec;
  for (fs::recursive_directory_iterator it(staging_, ec), end; !ec && it != end;
       it.increment(ec)) {
    const fs::path place = folder_ / it->path().lexically_relative(staging_);
    if (it->is_directory(ec)) {
      folders.push_back(std::make_unique<OutputFolder>(place));
    } else {
      staged.push_back(it->path());
    }
  }
  for (const fs::path& file : staged) {
    auto one = std::make_unique<PendingFile>(folder_ /
                                             file.lexically_relative(staging_));
    // Where it cannot be moved to, sync() finds nothing and says so.
    std::error_code ignored;
    fs::rename(file, one->temporary(), ignored);
    one->sync();
    pending.push_back(std::move(one));
  }
  for (const auto& one : pending) one->commit();
}

}  // namespace evenfeed
