// SPDX-License-Identifier: MIT
// Files given where text was wanted: a spreadsheet, a film, UTF-16.
#pragma once

#include <string>
#include <string_view>

namespace evenfeed {

/// Throws InputError that names what the file is, or the line of the first
/// byte that is not UTF-8 text. `wanted` is what it should be saved as: "CSV".
void require_utf8_text(std::string_view bytes,
                       const std::string& name,
                       const std::string& wanted);

}  // namespace evenfeed
