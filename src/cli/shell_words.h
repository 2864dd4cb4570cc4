// SPDX-License-Identifier: MIT
// A command as it is typed into a shell.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// In single quotes, as bash, zsh and fish read it.
[[nodiscard]] std::string in_quotes(std::string_view text);

/// Words joined by spaces, in quotes where a shell would change them.
[[nodiscard]] std::string shell_command(const std::vector<std::string>& words);

}  // namespace evenfeed
