// SPDX-License-Identifier: MIT
// The drawings of a page as files: --pictures of the commands that make pages.
#pragma once

#include "report/take_away.h"

#include <string>
#include <vector>

namespace evenfeed {

inline constexpr const char* kPicturesHelp =
    "Write the drawings of the page too, each as SVG and PNG, into this folder";

/// Each as SVG and PNG in `folder`, which is made; all of them or none. How
/// many files; 0 for an empty `folder`: nobody asked for them.
int write_drawings(const std::vector<Drawing>& drawings,
                   const std::string& folder);

/// "out/drawings: 12 files\n"; nothing when none was written.
[[nodiscard]] std::string drawings_told(const std::string& folder, int files);

}  // namespace evenfeed
