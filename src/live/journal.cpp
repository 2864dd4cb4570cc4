// SPDX-License-Identifier: MIT
#include "live/journal.h"

#include "base/atomic_file.h"
#include "base/error.h"

#include <cerrno>
#include <cstring>
#include <utility>

#include <fcntl.h>
#include <unistd.h>

namespace evenfeed {
namespace {

[[noreturn]] void refuse(const std::filesystem::path& file) {
  throw InputError(
      file.string(),
      std::string("it cannot be written: ") + std::strerror(errno),
      "Check that the folder is writable and the disk is not full");
}

}  // namespace

Journal::Journal(std::filesystem::path file) : file_(std::move(file)) {
  std::error_code none;
  const bool is_new = !std::filesystem::exists(file_, none);
  handle_ =
      ::open(file_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
  if (handle_ < 0) refuse(file_);
  if (is_new) {
    sync_folder_of(file_);
    return;
  }
  const std::string text = read_file(file_);
  const std::size_t whole = text.rfind('\n');
  const std::size_t keep = whole == std::string::npos ? 0 : whole + 1;
  if (keep < text.size() &&
      ::ftruncate(handle_, static_cast<off_t>(keep)) != 0) {
    refuse(file_);
  }
}

Journal::~Journal() { ::close(handle_); }

void Journal::write(std::string_view line) {
  std::string whole(line);
  whole += '\n';
  std::string_view rest = whole;
  while (!rest.empty()) {
    const ssize_t n = ::write(handle_, rest.data(), rest.size());
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) refuse(file_);
    rest.remove_prefix(static_cast<std::size_t>(n));
  }
}

void Journal::append(std::string_view line) {
  write(line);
  sync();
}

void Journal::sync() {
  if (::fdatasync(handle_) != 0 && errno != EINVAL) refuse(file_);
}

void Journal::append_soon(std::string_view line) { write(line); }

std::vector<std::string> read_journal(const std::filesystem::path& file) {
  std::vector<std::string> lines;
  std::error_code none;
  if (!std::filesystem::exists(file, none)) return lines;
  const std::string text = read_file(file);
  std::size_t from = 0;
  for (std::size_t end = text.find('\n'); end != std::string::npos;
       from = end + 1, end = text.find('\n', from)) {
    lines.push_back(text.substr(from, end - from));
  }
  return lines;
}

}  // namespace evenfeed
