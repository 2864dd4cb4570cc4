// SPDX-License-Identifier: MIT
// Files that belong together. All are written and on the disk before the first
// takes its place, so a full disk, a name that cannot be used or a refusal
// half way leaves none of them, and what stood there before stays.
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

/// A folder for files to come. Folders it had to make are removed again at the
/// end when nothing came.
class OutputFolder {
 public:
  /// Throws InputError when the folder cannot be made.
  explicit OutputFolder(std::filesystem::path folder);
  ~OutputFolder();
  OutputFolder(const OutputFolder&) = delete;
  OutputFolder& operator=(const OutputFolder&) = delete;

 private:
  std::vector<std::filesystem::path> made_;  ///< the innermost first
};

/// A folder whose files are made over a longer time, by whoever wants a file
/// name: they are written to `path()`, a hidden folder in it or folders in
/// that, and take their places together with commit(). Without it they are
/// removed.
class StagedFolder {
 public:
  /// Throws InputError when the folder cannot be made.
  explicit StagedFolder(const std::filesystem::path& folder);
  ~StagedFolder();
  StagedFolder(const StagedFolder&) = delete;
  StagedFolder& operator=(const StagedFolder&) = delete;

  const std::filesystem::path& path() const { return staging_; }
  /// Throws InputError; then none took its place, as far as that can be.
  void commit();

 private:
  std::filesystem::path folder_;
  OutputFolder made_;
  std::filesystem::path staging_;
};

}  // namespace evenfeed
