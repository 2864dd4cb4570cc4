// SPDX-License-Identifier: MIT
// Whether what is drawn has a look in files outside of the page too.
#pragma once

#include "report/assets.h"

#include <regex>
#include <set>
#include <sstream>
#include <string>

namespace evenfeed {

/// Classes of `svg` of which no word stands in picture_style.css; and how many
/// were looked at.
struct DrawingLooks {
  std::set<std::string> unknown;
  int seen = 0;
};

inline DrawingLooks looks_of(const std::string& svg) {
  static const std::regex each("class=\"([^\"]*)\"");
  const std::string style(picture_style());
  DrawingLooks looks;
  const std::sregex_iterator end;
  for (std::sregex_iterator it(svg.begin(), svg.end(), each); it != end; ++it) {
    bool known = false;
    std::istringstream words((*it)[1].str());
    for (std::string word; words >> word;) {
      known |= style.find("." + word + " ") != std::string::npos ||
               style.find("." + word + ",") != std::string::npos;
    }
    if (!known) looks.unknown.insert((*it)[1].str());
    ++looks.seen;
  }
  return looks;
}

}  // namespace evenfeed
