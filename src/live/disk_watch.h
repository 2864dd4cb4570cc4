// SPDX-License-Identifier: MIT
// How long the disk lasts. Told once when it becomes little, and once more when
// the rest is kept for what the session's end writes.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>

namespace evenfeed {

struct DiskOptions {
  double every_s = 1;                       ///< looked at so often
  double low_s = 600;                       ///< of film: little
  std::uint64_t low_bytes = 1ULL << 30;     ///< little, whatever is written
  std::uint64_t kept_bytes = 256ULL << 20;  ///< for the session's own files

  void check() const;
};

class DiskWatch {
 public:
  using Free = std::function<std::optional<std::uint64_t>()>;

  explicit DiskWatch(Free free_bytes, const DiskOptions& options = {});

  /// What to tell now, empty mostly. `now_s`: any clock that runs evenly.
  [[nodiscard]] std::string look(double now_s);
  /// The film may go on.
  bool room() const { return room_; }

 private:
  Free free_;
  DiskOptions options_;
  std::optional<double> first_s_;
  std::uint64_t first_bytes_ = 0;
  double looked_s_ = 0;
  bool low_told_ = false;
  bool room_ = true;
};

/// Of the disk a folder lies on.
[[nodiscard]] DiskWatch::Free free_on_disk_of(
    const std::filesystem::path& folder);

}  // namespace evenfeed
