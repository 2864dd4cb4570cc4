// SPDX-License-Identifier: MIT
// The one way words reach people. Names, notes and cells out of files may hold
// what a terminal would obey; it is shown instead.
#pragma once

#include <cstdio>
#include <string_view>

namespace evenfeed {

/// Words of any number of lines, as they are but for control characters; on a
/// terminal sentences are broken at its width.
void print_words(std::string_view words, std::FILE* to = stdout);

}  // namespace evenfeed
