// SPDX-License-Identifier: MIT
// Text broken into lines between its words.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// Characters, not bytes, of UTF-8 text.
[[nodiscard]] std::size_t characters(std::string_view text);

/// The words of `text` (between white space) in lines of so many characters at
/// most: the first of `first`, the others of `others`. A longer word has a line
/// of its own. At least one line.
[[nodiscard]] std::vector<std::string> broken_lines(std::string_view text,
                                                    std::size_t first,
                                                    std::size_t others);

}  // namespace evenfeed
