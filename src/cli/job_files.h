// SPDX-License-Identifier: MIT
// The files of one run: what it reads and what it will write, so that no
// output destroys an input or another output.
#pragma once

#include "base/file_set.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// Declare every file by the option that names it, then check() before any
/// work is done. Empty paths are left out.
class JobFiles {
 public:
  void reads(std::string_view option, const std::filesystem::path& file);
  void reads(std::string_view option, const std::vector<std::string>& files);
  /// A file that is made or replaced; "-" is standard output.
  void writes(std::string_view option, const std::filesystem::path& file);
  /// `names` in a folder that is made when it is not there.
  void writes_in(std::string_view option,
                 const std::filesystem::path& folder,
                 const std::vector<std::string_view>& names);

  /// Two paths are the same file when they lead to the same device and inode,
  /// links followed, or, where there is no file yet, to the same name. Throws
  /// UsageError when an output is an input or another output, InputError when
  /// an output cannot be a file or its folder is none.
  void check() const;

 private:
  struct Role {
    std::string option;
    std::filesystem::path path;
  };
  std::vector<Role> inputs_;
  std::vector<Role> outputs_;
  std::string standard_input_;  // the option that reads it
  std::vector<Role> folders_;
};

/// "-": standard output, or standard input.
bool is_standard_stream(const std::filesystem::path& file);

/// Writes an output whole, or to standard output. Throws InputError.
void write_output(const std::filesystem::path& file, std::string_view bytes);

/// Several outputs together or none, as far as they are files. Empty paths are
/// left out.
void write_outputs(const std::vector<FileText>& outputs);

}  // namespace evenfeed
