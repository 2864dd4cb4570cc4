// SPDX-License-Identifier: MIT
#include "report/pair_page.h"

#include "base/as_index.h"
#include "base/csv.h"
#include "report/assets.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/pair_tables.h"
#include "session/json_text.h"

#include <algorithm>
#include <cmath>

#include "pairing/words.h"
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::json;

std::string title_of(const Comparison& comparison) {
  std::string names;
  for (const Sample& sample : comparison.samples) {
    names += (names.empty() ? "" : " and ") + sample.name;
  }
  return names;
}

std::string difference_box(const Comparison& comparison) {
  const auto& effects = comparison.effects;
  const bool found =
      std::any_of(effects.begin(), effects.end(), [&](const Effect& effect) {
        return effect.significant(comparison.confidence);
      });
  std::string headline = "Nothing was compared.";
  if (found) {
    headline = "They differ.";
  } else if (effects.size() == 1 && effects[0].matched.ok) {
    headline =
        fmt::format("No difference is shown; one of up to {} is possible.",
                    possible_words(effects[0]));
  } else if (!effects.empty()) {
    headline =
        "No difference is shown; how large one may be stands in the intervals.";
  }
  std::string out =
      fmt::format("<div class=\"verdict {}\"><strong>{}</strong>\n",
                  found ? "good" : "caution",
                  headline);
  for (const Effect& effect : effects) {
    out += fmt::format("<p>{}</p>\n",
                       escape_html(effect_sentence(comparison, effect)));
  }
  return out + fmt::format("<p class=\"hint\">{}</p></div>\n",
                           escape_html(matching_sentence(comparison)));
}

std::string details_section(const Comparison& comparison) {
  std::string out;
  for (const Effect& effect : comparison.effects) {
    const std::vector<std::string> lines = effect_details(comparison, effect);
    if (lines.empty()) continue;
    out += list_section(
        escape_html(fmt::format("{}: {} and {}",
                                outcome_words(effect.outcome),
                                comparison.samples[as_index(effect.a)].name,
                                comparison.samples[as_index(effect.b)].name)),
        "",
        lines);
  }
  return out;
}

std::string canvas(std::string_view id,
                   std::string_view caption,
                   std::string_view description) {
  return fmt::format(
      "<figure><figcaption>{}</figcaption><div class=\"plot\"><canvas "
      "id=\"{}\" role=\"img\" aria-label=\"{}\"></canvas></div></figure>\n",
      escape_html(caption),
      id,
      escape_html(description));
}

std::string effect_section(const Comparison& comparison) {
  if (comparison.effects.empty()) return {};
  const bool films =
      std::any_of(comparison.effects.begin(),
                  comparison.effects.end(),
                  [](const Effect& effect) { return effect.films > 0; });
  std::string out = fmt::format(
      "<section><h2>The difference</h2>\n<p class=\"hint\">First minus second "
      "sample, with {:.0f} % intervals. The matched estimate is the answer; "
      "how "
      "far the raw difference is from it is what was laid to the feed.{}</p>\n"
      "<div class=\"charts\">\n",
      100 * comparison.confidence,
      films ? " What the films themselves leave uncertain is in the intervals."
            : "");
  out +=
      "<noscript><p>The pictures need scripts; what they show is in the tables."
      "</p></noscript>\n";
  for (std::size_t i = 0; i < comparison.effects.size(); ++i) {
    const Effect& effect = comparison.effects[i];
    out += canvas(fmt::format("effect-{}", i),
                  fmt::format("{}: {} minus {}",
                              outcome_words(effect.outcome),
                              comparison.samples[as_index(effect.a)].name,
                              comparison.samples[as_index(effect.b)].name),
                  effect_sentence(comparison, effect));
  }
  return out + "</div>\n" + effect_table(comparison) + "</section>\n";
}

std::string balance_section(const Comparison& comparison) {
  std::string out =
      "<section><h2>Were the feeds alike?</h2>\n<p class=\"hint\">Difference "
      "of the means in standard deviations of the feeds: hollow before, full "
      "after matching. Within 0.1 is alike.</p>\n<div class=\"charts\">\n";
  for (std::size_t i = 0; i < comparison.balances.size(); ++i) {
    const PairBalance& two = comparison.balances[i];
    const std::string names =
        fmt::format("{} minus {}",
                    comparison.samples[as_index(two.a)].name,
                    comparison.samples[as_index(two.b)].name);
    out += canvas(fmt::format("balance-{}", i),
                  names,
                  "Standardised differences before and after matching, as in "
                  "the table below: " +
                      names);
  }
  return out + "</div>\n" + balance_table(comparison) + "</section>\n";
}

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json estimates_json(const Effect& effect) {
  Json list = Json::array();
  const auto add =
      [&](const char* label, double value, const Interval& interval) {
        if (!std::isfinite(value) || !std::isfinite(interval.low)) return;
        list.push_back({{"label", label},
                        {"value", number(value)},
                        {"low", number(interval.low)},
                        {"high", number(interval.high)}});
      };
  add("matched", effect.matched.value, effect.matched.interval);
  add("all feeds, corrected",
      effect.all_feeds.value,
      effect.all_feeds.interval);
  // No interval: it is no estimate at the same feed.
  add("raw", effect.raw, {effect.raw, effect.raw});
  return list;
}

std::string chart_json(const Comparison& comparison) {
  Json json;
  json["effects"] = Json::array();
  for (const Effect& effect : comparison.effects) {
    json["effects"].push_back(
        {{"title", effect.outcome}, {"estimates", estimates_json(effect)}});
  }
  json["balances"] = Json::array();
  for (const PairBalance& two : comparison.balances) {
    Json rows = Json::array();
    for (const BalanceRow& row : two.rows) {
      rows.push_back({{"name", row.characteristic},
                      {"before", number(row.smd_before)},
                      {"after", number(row.smd_after)}});
    }
    json["balances"].push_back(rows);
  }
  return json_line(json);
}

}  // namespace

std::string pair_page(const Comparison& comparison) {
  const std::string title = title_of(comparison);
  return page_head(title + ": evenfeed comparison",
                   "evenfeed comparison of " + title) +
         difference_box(comparison) +
         list_section(
             "What this test can not tell", "warning", comparison.caveats) +
         effect_section(comparison) + details_section(comparison) +
         balance_section(comparison) + left_out_section(comparison) +
         list_section("Left out of the comparison", "", comparison.warnings) +
         "<footer>The same values stand in pairs.csv, left_out.csv, "
         "balance.csv and effect.json beside this page.</footer>\n" +
         page_foot(chart_json(comparison), {pair_script()});
}

}  // namespace evenfeed
