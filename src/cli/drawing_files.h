// SPDX-License-Identifier: MIT
// The drawings of a page as files: --pictures of the commands that make pages.
#pragma once

#include "cli/written_files.h"
#include "report/take_away.h"

#include <string>
#include <vector>

namespace evenfeed {

inline constexpr const char* kPicturesHelp =
    "Write the drawings of the page too, each as SVG and PNG, into this folder";

/// Each as SVG and PNG in `folder`, which is made; all of them or none. Nothing
/// for an empty `folder`: nobody asked for them.
WrittenFile write_drawings(const std::vector<Drawing>& drawings,
                           const std::string& folder);

}  // namespace evenfeed
