// SPDX-License-Identifier: MIT
#include "base/atomic_file.h"

#include "base/error.h"

#include <fstream>
#include <sstream>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

namespace evenfeed {
namespace fs = std::filesystem;

std::string read_file(const fs::path& path) {
  std::error_code ec;
  if (!fs::exists(path, ec)) {
    throw InputError(path.string(), "no such file", "Check the name");
  }
  if (fs::is_directory(path, ec)) {
    throw InputError(
        path.string(), "this is a folder, not a file", "Name a file");
  }
  std::ifstream in(path, std::ios::binary);
  if (!in) {
    throw InputError(
        path.string(), "cannot be read", "Check the file's permissions");
  }
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}

void write_file_whole(const fs::path& path, std::string_view bytes) {
  PendingFile pending(path);
  std::ofstream out(pending.temporary(), std::ios::binary | std::ios::trunc);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (!out) {
    throw InputError(path.string(),
                     "cannot be written",
                     "Check that the folder exists, is writable and the disk "
                     "is not full");
  }
  pending.commit();
}

void make_folder(const fs::path& folder) {
  std::error_code ec;
  fs::create_directories(folder, ec);
  if (ec || !fs::is_directory(folder)) {
    throw InputError(folder.string(),
                     "this folder cannot be made",
                     "Name a folder in a place that is writable");
  }
}

PendingFile::PendingFile(fs::path final_path) : final_(std::move(final_path)) {
  const std::string name = fmt::format(".{}.{}.partial{}",
                                       final_.stem().string(),
                                       ::getpid(),
                                       final_.extension().string());
  temporary_ = final_.parent_path() / name;
}

PendingFile::~PendingFile() {
  if (committed_) return;
  std::error_code ignored;
  fs::remove(temporary_, ignored);
}

void PendingFile::commit() {
  std::error_code ec;
  fs::rename(temporary_, final_, ec);
  if (ec) {
    throw InputError(final_.string(),
                     "cannot be written (" + ec.message() + ")",
                     "Check that the folder is writable");
  }
  committed_ = true;
}

}  // namespace evenfeed
