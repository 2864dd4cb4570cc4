// SPDX-License-Identifier: MIT
// The colours of a page's style, and how well one stands out from another:
// relative luminance and contrast ratio as in the Web Content Accessibility
// Guidelines 2.1, whose success criteria 1.4.3 and 1.4.11 ask 4.5 of text and 3
// of marks.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <string>

#include <doctest/doctest.h>

namespace evenfeed {

using Colours = std::map<std::string, std::string>;

// The colours that are set after `start` and before the next '}'.
inline Colours colours_after(const std::string& css, const std::string& start) {
  Colours found;
  std::size_t at = css.find(start);
  REQUIRE(at != std::string::npos);
  const std::size_t end = css.find('}', at);
  while ((at = css.find("--", at)) < end) {
    const std::size_t colon = css.find(':', at);
    const std::size_t stop = css.find(';', colon);
    std::string value = css.substr(colon + 2, stop - colon - 2);
    if (value.size() == 4) {
      value = {'#', value[1], value[1], value[2], value[2], value[3], value[3]};
    }
    found[css.substr(at + 2, colon - at - 2)] = value;
    at = stop;
  }
  return found;
}

inline double luminance(const std::string& colour) {
  REQUIRE(colour.size() == 7);
  const auto part = [&](int i) {
    const double c =
        std::strtol(colour.substr(1 + 2 * i, 2).c_str(), nullptr, 16) / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * part(0) + 0.7152 * part(1) + 0.0722 * part(2);
}

inline double contrast(const std::string& a, const std::string& b) {
  const double la = luminance(a), lb = luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

}  // namespace evenfeed
