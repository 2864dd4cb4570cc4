// SPDX-License-Identifier: MIT
#include "base/file_set.h"

#include "base/atomic_file.h"

#include <memory>

namespace evenfeed {

void write_files_whole(const std::vector<FileText>& files) {
  std::vector<std::unique_ptr<PendingFile>> pending;
  for (const FileText& one : files) {
    pending.push_back(std::make_unique<PendingFile>(one.path));
    pending.back()->write(one.bytes);
  }
  for (const auto& one : pending) one->commit();
}

}  // namespace evenfeed
