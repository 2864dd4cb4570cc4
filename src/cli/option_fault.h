// SPDX-License-Identifier: MIT
// What is wrong with an option's value, in words: the option, the value, what
// is allowed.
#pragma once

#include <string>

namespace CLI {
class App;
class ConversionError;
class ArgumentMismatch;
}  // namespace CLI

namespace evenfeed {

/// A value that is not of the option's kind.
[[nodiscard]] std::string fault_of_value(const CLI::App& command,
                                         const CLI::ConversionError& error);
/// Too few values, or too many.
[[nodiscard]] std::string fault_of_number_of_values(
    const CLI::App& command, const CLI::ArgumentMismatch& error);

}  // namespace evenfeed
