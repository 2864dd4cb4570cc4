// SPDX-License-Identifier: MIT
// Text of unknown origin (cells, names, file names) on its way to people.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace evenfeed {

/// What a terminal would obey instead of show is written as its escape: "\x1b"
/// for ESC, "\n" for a new line; so are control characters beyond ASCII and
/// bytes that are no UTF-8. What is left is one line.
[[nodiscard]] std::string printable(std::string_view text);

/// The same, but new lines stay: for text of several lines.
[[nodiscard]] std::string printable_lines(std::string_view text);

/// At most about `most` bytes: what is too long keeps its beginning and end,
/// with " ... " for the rest. Characters stay whole.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t most);

/// Where the first byte lies that is no UTF-8 (RFC 3629).
[[nodiscard]] std::optional<std::size_t> first_not_utf8(std::string_view text);

}  // namespace evenfeed
