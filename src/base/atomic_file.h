// SPDX-License-Identifier: MIT
// Outputs appear whole or not at all: they are written beside their place
// under a temporary name and renamed when complete.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace evenfeed {

/// The whole file as bytes. Throws InputError if it cannot be read.
std::string read_file(const std::filesystem::path& path);

/// Writes `bytes` to `path` by way of a temporary file and a rename.
/// Throws InputError when the folder is missing or not writable.
void write_file_whole(const std::filesystem::path& path,
                      std::string_view bytes);

/// Makes the folder (and its parents). Throws InputError when it cannot.
void make_folder(const std::filesystem::path& folder);

/// For writers that want a file name of their own (video, pictures): write to
/// `temporary()`, then `commit()`. Without a commit the temporary is removed.
class PendingFile {
 public:
  explicit PendingFile(std::filesystem::path final_path);
  ~PendingFile();
  PendingFile(const PendingFile&) = delete;
  PendingFile& operator=(const PendingFile&) = delete;

  /// Same folder and extension as the final path.
  const std::filesystem::path& temporary() const { return temporary_; }
  void commit();

 private:
  std::filesystem::path final_;
  std::filesystem::path temporary_;
  bool committed_ = false;
};

}  // namespace evenfeed
