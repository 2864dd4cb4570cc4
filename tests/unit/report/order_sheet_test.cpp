// SPDX-License-Identifier: MIT
#include "report/order_sheet.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("one feed is no feeds, and the order's table says what it is") {
  OrderOptions options;
  options.samples = {"<b>K", "M"};
  PlannedTrial trial;
  trial.sample = "<b>K";
  const std::string one = order_sheet(options, {trial});
  CHECK(one.find("<p>1 feed in all.</p>") != std::string::npos);
  CHECK(one.find("<caption>One row for each feed") != std::string::npos);
  CHECK(one.find("&lt;b&gt;K") != std::string::npos);
  CHECK(one.find("<b>K") == std::string::npos);
  const std::string two = order_sheet(options, {trial, trial});
  CHECK(two.find("<p>2 feeds in all.</p>") != std::string::npos);
}
