// SPDX-License-Identifier: MIT
#include "report/pair_page.h"

#include "report/html.h"

#include "pairing/words.h"
#include "unit/pairing/invented_samples.h"
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

Comparison comparison_of(const std::string& name) {
  Samples samples;
  samples.all = {invented_sample(name, 50, 0.5, 1),
                 invented_sample("M", 50, 0, 2)};
  samples.characteristics = samples.all[0].characteristics;
  Outcomes outcomes;
  outcomes.all.push_back(
      number_outcome("ret_speed_mps",
                     {invented_outcome(samples.all[0], 0.01, 1, 0.3, 3),
                      invented_outcome(samples.all[1], 0.01, 0, 0.3, 4)}));
  return compare(samples, outcomes, std::nullopt, {});
}

std::string chart_data(const std::string& page) {
  const std::string start = "id=\"chart-data\">";
  const auto from = page.find(start) + start.size();
  return page.substr(from, page.find("</script>", from) - from);
}

}  // namespace

TEST_CASE("the page says it without scripts") {
  const Comparison comparison = comparison_of("K");
  const std::string page = pair_page(comparison);
  CHECK(page.find("They differ.") != std::string::npos);
  CHECK(page.find(escape_html(effect_sentence(
            comparison, comparison.effects[0]))) != std::string::npos);
  REQUIRE_FALSE(comparison.caveats.empty());
  for (const std::string& caveat : comparison.caveats) {
    CHECK(page.find(escape_html(caveat)) != std::string::npos);
  }
  CHECK(page.find("matched, corrected for the feed left") != std::string::npos);
  CHECK(page.find("Feeds without a partner") != std::string::npos);
  CHECK(page.find("<noscript>") != std::string::npos);
  CHECK(page.find("<th>") == std::string::npos);
  CHECK(page.find("<th class=\"n\">") == std::string::npos);
}

TEST_CASE("the pictures' data are whole") {
  const Comparison comparison = comparison_of("K");
  const auto json = nlohmann::json::parse(chart_data(pair_page(comparison)));
  CHECK(json["balances"][0].size() == 2);
  const auto& estimates = json["effects"][0]["estimates"];
  CHECK(estimates[0]["value"].get<double>() ==
        doctest::Approx(comparison.effects[0].matched.value));
  // The answer, all feeds, and the raw difference, which has no interval.
  REQUIRE(estimates.size() == 3);
  CHECK(estimates[1]["high"].get<double>() ==
        doctest::Approx(comparison.effects[0].all_feeds.interval.high));
  CHECK(estimates[2]["low"] == estimates[2]["high"]);
}

TEST_CASE("no difference shown is not called alike") {
  Comparison comparison = comparison_of("K");
  Effect& effect = comparison.effects[0];
  effect.p_holm = 0.5;
  effect.matched.interval = {-0.3, 0.2};
  CHECK(
      pair_page(comparison).find("No difference is shown; one of up to 0.30") !=
      std::string::npos);
  comparison.effects.push_back(effect);
  CHECK(pair_page(comparison).find("how large one may be stands in the") !=
        std::string::npos);
}

TEST_CASE("names cannot act in the page, and it fetches nothing") {
  const std::string page =
      pair_page(comparison_of("<script>alert(1)</script>"));
  CHECK(page.find("<script>alert") == std::string::npos);
  CHECK(page.find("&lt;script&gt;alert(1)") != std::string::npos);
  CHECK(page.find("default-src 'none'") != std::string::npos);
  CHECK(page.find("src=\"http") == std::string::npos);
}

TEST_CASE("a comparison without outcomes is still a page") {
  Comparison comparison = comparison_of("K");
  comparison.effects.clear();
  comparison.matching.sets.clear();
  const std::string page = pair_page(comparison);
  CHECK(page.find("Nothing was compared.") != std::string::npos);
  CHECK(page.find("</html>") != std::string::npos);
}
