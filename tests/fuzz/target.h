// SPDX-License-Identifier: MIT
// A reader that takes bytes nobody vouches for.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed::fuzz {

struct Target {
  std::string name;
  /// Files to start from, below the project's root.
  std::vector<std::string> seeds;
  /// Reads the bytes. May throw InputError or UsageError; whatever else comes
  /// out of it is a fault.
  std::function<void(const std::string& bytes)> read;
};

std::vector<Target> csv_targets();
std::vector<Target> toml_targets();
std::vector<Target> json_targets();
std::vector<Target> film_targets();

/// The bytes under a file name, for readers that open files themselves.
class BytesAsFile {
 public:
  explicit BytesAsFile(std::string_view bytes);
  ~BytesAsFile();
  BytesAsFile(const BytesAsFile&) = delete;
  BytesAsFile& operator=(const BytesAsFile&) = delete;
  std::filesystem::path path() const;

 private:
  int handle_;
};

}  // namespace evenfeed::fuzz
