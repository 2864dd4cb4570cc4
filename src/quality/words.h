// SPDX-License-Identifier: MIT
// Names and values of characteristics as people read them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// "landing along the table" for x_mm; an unknown name as it is.
std::string characteristic_words(const std::string& name);
std::vector<std::string> characteristic_words(
    const std::vector<std::string>& names);
/// The decimals of a quantity wherever people read it, the same on every screen
/// and page: by the unit that the name ends in. Files have more
/// (flight/characteristics.h).
int shown_decimals(std::string_view name);
/// "1204.3 mm": with the unit that the name ends in.
std::string characteristic_value(const std::string& name, double value);
/// The same with its sign, for a difference: "+12.3 mm".
std::string signed_value(const std::string& name, double value);
/// "mm" for x_mm; empty: the name ends in none.
std::string_view characteristic_unit(std::string_view name);

}  // namespace evenfeed
