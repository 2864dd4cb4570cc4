// SPDX-License-Identifier: MIT
// What every page begins and ends with. A page is one file that fetches
// nothing; a content security policy inside it forbids that too.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// From <!DOCTYPE> to the heading. Both texts are escaped here. `own_style`
/// comes after the style that all pages have.
std::string page_head(std::string_view title,
                      std::string_view heading,
                      std::string_view own_style = {});

/// The scripts, and the end of the page.
std::string page_foot(const std::vector<std::string_view>& scripts);

/// A section with a list; nothing for an empty list. The items are escaped,
/// the heading is not.
std::string list_section(std::string_view heading,
                         std::string_view style,
                         const std::vector<std::string>& items);

}  // namespace evenfeed
