// SPDX-License-Identifier: MIT
// Sentences broken between words, so that a terminal does not break them in
// the middle of one.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace evenfeed {

/// Each line of `text` in lines of `columns` characters at most, as far as its
/// words allow; what goes on is indented like its beginning, below the words of
/// an item "- ". Rows of a table (two spaces or more between words) stay as
/// they are, and so does everything for columns < 20.
[[nodiscard]] std::string wrapped_lines(std::string_view text,
                                        std::size_t columns);

}  // namespace evenfeed
