// SPDX-License-Identifier: MIT
// Range checks for option structs, written once. Each throws a UsageError that
// names the field, its value and what is allowed; loaders of files turn it
// into an InputError with file and line (see base/toml_file.h).
#pragma once

#include <string_view>

namespace evenfeed {

void require_finite(double value, std::string_view field);
void require_positive(double value, std::string_view field);
void require_not_negative(double value, std::string_view field);
/// low <= value <= high, both ends allowed.
void require_in_range(double value,
                      double low,
                      double high,
                      std::string_view field);
/// 0 < value < 1.
void require_probability(double value, std::string_view field);

/// A broken contract inside the program: throws std::logic_error.
void require(bool condition, std::string_view what);

}  // namespace evenfeed
