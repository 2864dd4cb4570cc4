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

TEST_CASE("the sheet has a place for what ties it to its film") {
  OrderOptions options;
  options.samples = {"sheet <K>", "sheet M"};
  options.trials = 10;
  const std::string page = order_sheet(options, plan_order(options));
  CHECK(page.find("evenfeed order of trials: sheet &lt;K&gt;, sheet M</h1>") !=
        std::string::npos);
  int places = 0;
  for (const char* what :
       {"date", "film, or films", "launcher", "settings", "who fed"}) {
    CHECK(page.find("<th scope=\"row\">" + std::string(what) +
                    "</th><td class=\"write\"></td>") != std::string::npos);
    ++places;
  }
  CHECK(places == 5);
  // A box with a verdict's border would say that something is wrong.
  CHECK(page.find("class=\"verdict\"") == std::string::npos);
}
