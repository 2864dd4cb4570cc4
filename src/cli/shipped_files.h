// SPDX-License-Identifier: MIT
// The profiles and scenes that ship, as the build put them into the program.
#pragma once

#include <string_view>
#include <vector>

namespace evenfeed {

struct ShippedFile {
  std::string_view name;  ///< "table-tennis", "scenes/half720p120"
  std::string_view text;
};

/// In the order of their names.
const std::vector<ShippedFile>& shipped_files();

}  // namespace evenfeed
