// SPDX-License-Identifier: MIT
#include "base/atomic_file.h"

#include "base/error.h"

#include <cerrno>
#include <charconv>
#include <fstream>
#include <sstream>
#include <system_error>
#include <vector>

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <unistd.h>

namespace evenfeed {
namespace fs = std::filesystem;
namespace {

// Opens and syncs; the error, 0 when there is none.
int synced(const fs::path& path, int flags) {
  const int handle = ::open(path.c_str(), flags | O_CLOEXEC);
  if (handle < 0) return errno;
  const int error = ::fsync(handle) == 0 ? 0 : errno;
  ::close(handle);
  return error;
}

[[noreturn]] void refuse(const fs::path& file, const std::error_code& ec) {
  throw InputError(file.string(),
                   "cannot be written (" + ec.message() + ")",
                   "Check that the folder is writable and the disk is not "
                   "full");
}

// ".name.123.partial" and what begins so, for `prefix` ".name.": of a process
// that is no more.
bool is_leftover(std::string_view name, std::string_view prefix) {
  if (!name.starts_with(prefix)) return false;
  name.remove_prefix(prefix.size());
  pid_t writer = 0;
  const auto [rest, error] =
      std::from_chars(name.data(), name.data() + name.size(), writer);
  if (error != std::errc() || writer <= 0) return false;
  name.remove_prefix(static_cast<std::size_t>(rest - name.data()));
  if (!name.starts_with(".partial")) return false;
  return ::kill(writer, 0) != 0 && errno == ESRCH;
}

std::string_view what_it_is(fs::file_type type) {
  switch (type) {
    case fs::file_type::directory:
      return "a folder";
    case fs::file_type::character:
    case fs::file_type::block:
      return "a device";
    case fs::file_type::fifo:
      return "a pipe";
    case fs::file_type::socket:
      return "a socket";
    default:
      return "something else";
  }
}

}  // namespace

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

void require_file_if_there(const fs::path& path) {
  std::error_code ec;
  const fs::file_type type = fs::status(path, ec).type();
  if (type == fs::file_type::regular || type == fs::file_type::not_found ||
      type == fs::file_type::none) {
    return;
  }
  throw InputError(path.string(),
                   fmt::format("this is {}, not a file", what_it_is(type)),
                   "Put the file itself there");
}

void write_file_whole(const fs::path& path, std::string_view bytes) {
  PendingFile pending(path);
  pending.write(bytes);
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

void remove_leftovers(const fs::path& final_path) {
  std::error_code ec;
  const fs::path folder = fs::absolute(final_path, ec).parent_path();
  const std::string prefix = fmt::format(".{}.", final_path.stem().string());
  std::vector<fs::path> found;
  for (fs::directory_iterator it(folder, ec), end; !ec && it != end;
       it.increment(ec)) {
    if (is_leftover(it->path().filename().string(), prefix)) {
      found.push_back(it->path());
    }
  }
  // What cannot be removed is somebody else's, and does no harm.
  for (const fs::path& one : found) fs::remove_all(one, ec);
}

void require_can_be_file(const fs::path& path) {
  std::error_code ec;
  const fs::file_type type = fs::status(path, ec).type();
  if (type == fs::file_type::regular) return;
  if (type == fs::file_type::not_found) return;
  if (type == fs::file_type::none) {
    throw InputError(path.string(),
                     "cannot be written (" + ec.message() + ")",
                     "Name a file in a folder that is writable");
  }
  throw InputError(
      path.string(),
      fmt::format("this is {}, not a file, and would be replaced by one",
                  what_it_is(type)),
      "Name a file");
}

void sync_folder_of(const fs::path& path) {
  std::error_code ec;
  // Some file systems cannot, and there is nothing more to do about it.
  (void)synced(fs::absolute(path, ec).parent_path(), O_RDONLY | O_DIRECTORY);
}

PendingFile::PendingFile(fs::path final_path) : final_(std::move(final_path)) {
  require_can_be_file(final_);
  remove_leftovers(final_);
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

void PendingFile::write(std::string_view bytes) {
  std::ofstream out(temporary_, std::ios::binary | std::ios::trunc);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (!out) {
    throw InputError(final_.string(),
                     "cannot be written",
                     "Check that the folder exists, is writable and the disk "
                     "is not full");
  }
}

void PendingFile::sync() {
  const std::error_code ec(synced(temporary_, O_RDONLY),
                           std::system_category());
  // A file system that cannot sync must not keep the file from its place.
  if (ec && ec.value() != EINVAL) refuse(final_, ec);
  synced_ = true;
}

void PendingFile::commit() {
  if (!synced_) sync();
  std::error_code ec;
  fs::rename(temporary_, final_, ec);
  if (ec) refuse(final_, ec);
  committed_ = true;
  sync_folder_of(final_);
}

}  // namespace evenfeed
