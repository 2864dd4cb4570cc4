// SPDX-License-Identifier: MIT
// Outputs appear whole or not at all: they are written beside their place
// under a temporary name, put on the disk, and renamed when complete, so that
// neither a killed program nor a power cut leaves half a file.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace evenfeed {

/// The whole file as bytes. Throws InputError if it cannot be read.
std::string read_file(const std::filesystem::path& path);

/// For files the program looks for by itself: throws InputError when there is
/// something of that name that is no file. A pipe would be waited for for ever.
void require_file_if_there(const std::filesystem::path& path);

/// Writes `bytes` to `path` by way of a temporary file and a rename.
/// Throws InputError when the folder is missing or not writable.
void write_file_whole(const std::filesystem::path& path,
                      std::string_view bytes);

/// Makes the folder (and its parents). Throws InputError when it cannot.
void make_folder(const std::filesystem::path& folder);

/// Removes what killed runs left in the folder of `final_path` on its way there
/// (".name.PID.partial..." of processes that are no more).
void remove_leftovers(const std::filesystem::path& final_path);

/// Throws InputError when `path` cannot become a file: something stands there
/// that is none (a folder, a device, a pipe; links are followed), or the name
/// cannot be used. A rename would put a file in the device's place.
void require_can_be_file(const std::filesystem::path& path);

/// Puts the names in the folder that holds `path` on the disk, as far as the
/// file system can.
void sync_folder_of(const std::filesystem::path& path);

/// For writers that want a file name of their own (video, pictures): write to
/// `temporary()`, then `commit()`. Without a commit the temporary is removed.
/// A link is replaced, and what it leads to stays as it is.
class PendingFile {
 public:
  /// Throws as require_can_be_file does.
  explicit PendingFile(std::filesystem::path final_path);
  ~PendingFile();
  PendingFile(const PendingFile&) = delete;
  PendingFile& operator=(const PendingFile&) = delete;

  /// Same folder and extension as the final path.
  const std::filesystem::path& temporary() const { return temporary_; }
  /// All of it, as the temporary file. Throws InputError.
  void write(std::string_view bytes);
  /// Puts the temporary file on the disk. Throws InputError.
  void sync();
  /// Whole and on the disk when it returns. Throws InputError.
  void commit();

 private:
  std::filesystem::path final_;
  std::filesystem::path temporary_;
  bool synced_ = false;
  bool committed_ = false;
};

}  // namespace evenfeed
