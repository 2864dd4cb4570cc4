// SPDX-License-Identifier: MIT
// Colours of the page against what they stand on.
#include "support/contrast.h"

#include "report/assets.h"

#include <string>

#include <doctest/doctest.h>

namespace evenfeed {
namespace {

void check_theme(const Colours& theme) {
  REQUIRE(theme.size() >= 15);
  for (const char* text :
       {"ink", "soft", "keep", "review", "discard", "unjudged"}) {
    for (const char* ground : {"card", "page"}) {
      CAPTURE(text);
      CAPTURE(ground);
      CHECK(contrast(theme.at(text), theme.at(ground)) >= 4.5);
    }
  }
  // Numbers and axes stand on the surface too; marks and lines need less.
  CHECK(contrast(theme.at("ink"), theme.at("surface")) >= 4.5);
  CHECK(contrast(theme.at("soft"), theme.at("surface")) >= 4.5);
  for (const char* mark :
       {"keep", "review", "discard", "unjudged", "zone", "net", "edge"}) {
    CAPTURE(mark);
    CHECK(contrast(theme.at(mark), theme.at("surface")) >= 3);
    CHECK(contrast(theme.at(mark), theme.at("card")) >= 3);
  }
  // Painted lines lie on the surface only.
  CHECK(contrast(theme.at("paint"), theme.at("surface")) >= 3);
}

}  // namespace

TEST_CASE("the formula gives the guidelines' own extremes") {
  CHECK(contrast("#000000", "#ffffff") == doctest::Approx(21));
  CHECK(contrast("#777777", "#777777") == doctest::Approx(1));
}

TEST_CASE("text and marks stand out, in light, dark and print") {
  const std::string css(page_style());
  const Colours light = colours_after(css, ":root {");
  check_theme(light);
  Colours dark = colours_after(css, "prefers-color-scheme: dark");
  check_theme(dark);
  Colours print = colours_after(css.substr(css.find("@media print")), ":root");
  check_theme(print);
}

TEST_CASE("drawings that are taken out have the colours of the light page") {
  const std::string style(picture_style());
  const Colours light = colours_after(std::string(page_style()), ":root {");
  for (const auto& [rule, colour] :
       {std::pair{".painted { fill: ", "paint"},
        std::pair{".zone { fill: none; stroke: ", "zone"},
        std::pair{".net { stroke: ", "net"},
        std::pair{".surface { fill: ", "surface"}}) {
    CAPTURE(colour);
    CHECK(style.find(rule + light.at(colour) + ";") != std::string::npos);
  }
}

}  // namespace evenfeed
