// SPDX-License-Identifier: MIT
// What a command wrote, told in one way by all: a line for each file or folder
// with what it is for, or with --json a list.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

struct WrittenFile {
  std::filesystem::path path;  ///< empty: nothing was
  std::string what;            ///< to whoever reads it
};

/// `words`, an empty line, then "written:\n  K-M/pair.html  the page: open
/// it\n". What was not written or went to standard output is left out;
/// `words` alone when nothing is left.
[[nodiscard]] std::string words_with_written(
    std::string words, const std::vector<WrittenFile>& files);

/// `json`, a whole object as the program prints it, with the list "written" of
/// the same files; as it is when there are none.
[[nodiscard]] std::string json_with_written(
    std::string_view json, const std::vector<WrittenFile>& files);

}  // namespace evenfeed
