// SPDX-License-Identifier: MIT
// Files that go into every page. The build puts them into the program
// (assets.cpp.in), so that a page needs neither a network nor a folder.
#pragma once

#include <string_view>

namespace evenfeed {

std::string_view page_style();           ///< page.css
std::string_view picture_style();        ///< picture_style.css
std::string_view take_away_script();     ///< take_away.js
std::string_view page_script();          ///< page.js
std::string_view mark_style();           ///< mark_page.css
std::string_view mark_solver_script();   ///< mark_solver.js
std::string_view mark_drawing_script();  ///< mark_drawing.js
std::string_view mark_page_script();     ///< mark_page.js

}  // namespace evenfeed
