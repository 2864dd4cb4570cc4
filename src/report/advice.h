// SPDX-License-Identifier: MIT
// The parts of the page that are the same for everybody.
#pragma once

#include <string>

namespace evenfeed {

/// What can hurt at such a bench. It defers to the maker's manual, local rules
/// and qualified people.
std::string safety_notes();

}  // namespace evenfeed
