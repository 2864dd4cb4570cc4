// SPDX-License-Identifier: MIT
// What can be told of the bench page without a browser.
#include "live/live_assets.h"
#include "support/contrast.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("the table and what lies on it stand out, in light and dark") {
  const std::string css(bench_page_style());
  for (const char* start : {":root {", "prefers-color-scheme: dark"}) {
    const Colours theme = colours_after(css, start);
    for (const char* mark : {"paint", "edge", "net", "keep", "discard"}) {
      CAPTURE(start);
      CAPTURE(mark);
      CHECK(contrast(theme.at(mark), theme.at("surface")) >= 3);
    }
  }
}

TEST_CASE("the list of feeds has a caption, and heads that say of what") {
  const std::string page(bench_page_html());
  CHECK(page.find("<table><caption>") != std::string::npos);
  CHECK(page.find("<th>") == std::string::npos);
  CHECK(page.find("<th scope=\"col\">") != std::string::npos);
}
