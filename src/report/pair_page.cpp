// SPDX-License-Identifier: MIT
#include "report/pair_page.h"

#include "base/as_index.h"
#include "base/version.h"
#include "pairing/words.h"
#include "report/assets.h"
#include "report/html.h"
#include "report/page_frame.h"
#include "report/pair_charts.h"
#include "report/pair_flights.h"
#include "report/pair_tables.h"
#include "report/provenance_section.h"
#include "report/quote.h"
#include "report/take_away.h"

#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

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
  std::string out = fmt::format("<div class=\"verdict {}\"><h2>{}</h2>\n",
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

// "kind = soft, thickness_mm = 2.0"
std::string declared_words(const PairInput& input, const std::string& sample) {
  const DeclaredSample* declared =
      input.declared ? input.declared->find(sample) : nullptr;
  if (declared == nullptr) return {};
  std::vector<std::string> parts;
  if (!declared->kind.empty()) parts.push_back("kind = " + declared->kind);
  for (std::size_t k = 0; k < declared->values.size(); ++k) {
    if (declared->values[k].empty()) continue;
    parts.push_back(fmt::format(
        "{} = {}", input.declared->properties[k], declared->values[k]));
  }
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string figure(const Drawing& drawing) {
  return figure_start(drawing) +
         fmt::format("<figcaption>{}</figcaption>{}</figure>\n",
                     escape_html(drawing.title),
                     drawing.svg);
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
  for (const Effect& effect : comparison.effects) {
    out += figure(effect_drawing(comparison, effect));
    if (const auto trials = trials_drawing(comparison, effect)) {
      out += figure(*trials);
    }
  }
  return out + "</div>\n" + effect_table(comparison) + "</section>\n";
}

std::string flights_section(const PairInput& input) {
  std::string figures;
  for (const PairBalance& two : input.comparison.balances) {
    const auto flights = pair_flights_drawing(input, two);
    if (flights) figures += captioned_figure(*flights);
  }
  if (figures.empty()) return {};
  return "<section><h2>How they flew</h2>\n" + figures + "</section>\n";
}

// What is known of where the samples' feeds come from, and what compared them.
std::string pair_provenance(const PairInput& input) {
  const std::vector<Sample>& samples = input.comparison.samples;
  std::string out = "<section class=\"from\"><h2>What this is about</h2>\n";
  if (input.sources.size() == 1) {
    const std::string list = provenance_list(input.sources[0].provenance, "");
    if (!list.empty()) out += "<h3>All samples</h3>\n" + list + "\n";
  }
  for (std::size_t s = 0; s < samples.size(); ++s) {
    const std::string list = provenance_list(
        input.sources.size() > 1 ? input.sources[s].provenance : Provenance(),
        "",
        declared_words(input, samples[s].name));
    if (list.empty()) continue;
    out += fmt::format("<h3>{}</h3>\n{}\n", escape_html(samples[s].name), list);
  }
  return out + fmt::format(
                   "<p class=\"hint\">Compared with evenfeed {}{}.</p>"
                   "</section>\n",
                   program_version(),
                   input.profile_name.empty()
                       ? ""
                       : ", calipers of the profile " +
                             escape_html(input.profile_name));
}

std::string balance_section(const Comparison& comparison) {
  std::string out =
      "<section><h2>Were the feeds alike?</h2>\n<p class=\"hint\">Difference "
      "of the means in standard deviations of the feeds: hollow before, full "
      "after matching. Within the dotted lines (0.1) is alike.</p>\n<div "
      "class=\"charts\">\n";
  for (const PairBalance& two : comparison.balances) {
    out += figure(balance_drawing(comparison, two));
  }
  return out + "</div>\n" + balance_table(comparison) + "</section>\n";
}

}  // namespace

std::vector<Drawing> pair_drawings(const PairInput& input) {
  const Comparison& comparison = input.comparison;
  std::vector<Drawing> all;
  for (const Effect& effect : comparison.effects) {
    all.push_back(effect_drawing(comparison, effect));
    if (auto trials = trials_drawing(comparison, effect)) {
      all.push_back(std::move(*trials));
    }
  }
  for (const PairBalance& two : comparison.balances) {
    if (auto flights = pair_flights_drawing(input, two)) {
      all.push_back(std::move(*flights));
    }
  }
  for (const PairBalance& two : comparison.balances) {
    all.push_back(balance_drawing(comparison, two));
  }
  return all;
}

std::string pair_page(const PairInput& input) {
  const Comparison& comparison = input.comparison;
  const std::string title = title_of(comparison);
  return page_head(title + ": evenfeed comparison",
                   "evenfeed comparison of " + title) +
         difference_box(comparison) +
         list_section(
             "What this test cannot tell", "warning", comparison.caveats) +
         pair_provenance(input) + effect_section(comparison) +
         details_section(comparison) + flights_section(input) +
         balance_section(comparison) + pairs_section(comparison) +
         left_out_section(comparison) +
         list_section("Left out of the comparison", "", comparison.warnings) +
         quote_section(pair_quote(input)) +
         "<footer>The same values stand in pairs.csv, left_out.csv, "
         "balance.csv and effect.json beside this page.</footer>\n" +
         picture_style_for_scripts() + page_foot({take_away_script()});
}

}  // namespace evenfeed
