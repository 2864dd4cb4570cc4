// SPDX-License-Identifier: MIT
// Files that belong together. All are written before the first takes its place,
// so a full disk, or a name that cannot be used, leaves none of them.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

struct FileText {
  std::filesystem::path path;
  std::string bytes;
};

/// Throws InputError when one cannot be written; then none was.
void write_files_whole(const std::vector<FileText>& files);

}  // namespace evenfeed
