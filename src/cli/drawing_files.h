// SPDX-License-Identifier: MIT
// The drawings of a page as files: --pictures of the commands that make pages.
#pragma once

#include "cli/written_files.h"
#include "report/take_away.h"

#include <functional>
#include <string>
#include <vector>

namespace evenfeed {

inline constexpr const char* kPicturesHelp =
    "Write the drawings of the page too, each as SVG and PNG, into this folder";

/// Each as SVG and PNG in `folder`, which is made; all of them or none. With an
/// empty `folder` nobody asked for them, and nothing is drawn; where there is
/// too little to draw nothing is written.
WrittenFile write_drawings(const std::string& folder,
                           const std::function<std::vector<Drawing>()>& draw);

}  // namespace evenfeed
