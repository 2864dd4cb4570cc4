// SPDX-License-Identifier: MIT
// The options that a library checked know nothing of the command line: its
// message names the field, "exposure_s = 2". The tester gave an option.
#pragma once

#include <string>

namespace CLI {
class App;
}

namespace evenfeed {

/// `words` with the option in place of the field they begin with, or before it
/// where the value is another (of another unit); as they are where no given
/// option is meant, or more than one might be.
[[nodiscard]] std::string fault_of_field(const CLI::App& command,
                                         const std::string& words);

}  // namespace evenfeed
