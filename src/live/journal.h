// SPDX-License-Identifier: MIT
// What happened, a line of JSON each, on the disk before anybody is told. A
// program that is killed, or a power cut, costs at most the line that was being
// written: a last line without its end is no line.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

class Journal {
 public:
  /// Goes on at the end of what is there; a half line is taken away first.
  /// Throws InputError when the file cannot be written.
  explicit Journal(std::filesystem::path file);
  ~Journal();
  Journal(const Journal&) = delete;
  Journal& operator=(const Journal&) = delete;

  /// One line, without its end. On the disk when it returns. Throws InputError
  /// when the disk is full.
  void append(std::string_view line);
  /// The same, but handed to the system only: safe from this program's end,
  /// not from a power cut, until the next append().
  void append_soon(std::string_view line);
  /// All of it on the disk.
  void sync();

 private:
  void write(std::string_view line);

  std::filesystem::path file_;
  int handle_ = -1;
};

/// The whole lines of a journal; none where there is no file.
[[nodiscard]] std::vector<std::string> read_journal(
    const std::filesystem::path& file);

}  // namespace evenfeed
