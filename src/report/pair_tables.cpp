// SPDX-License-Identifier: MIT
#include "report/pair_tables.h"

#include "base/as_index.h"
#include "base/counted.h"
#include "base/csv.h"
#include "pairing/words.h"
#include "quality/words.h"
#include "report/html.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string cell(std::string_view text, std::string_view style = "n") {
  return fmt::format("<td class=\"{}\">{}</td>", style, escape_html(text));
}

// What the rest of its row is about.
std::string row_head(std::string_view text) {
  return fmt::format("<th scope=\"row\">{}</th>", escape_html(text));
}

std::string rounded(double value, int decimals) {
  return std::isfinite(value) ? csv_number(value, decimals) : "–";
}

// A head that starts with '>' stands over numbers. What does not fit is
// scrolled to, by the keyboard too.
std::string table(std::string_view label,
                  std::string_view caption,
                  const std::vector<std::string>& heads,
                  const std::string& rows) {
  std::string out = table_start(label, caption) + "<thead><tr>";
  for (const std::string& head : heads) {
    out += head[0] == '>' ? "<th scope=\"col\" class=\"n\">" +
                                escape_html(head.substr(1)) + "</th>"
                          : "<th scope=\"col\">" + escape_html(head) + "</th>";
  }
  return out + "</tr></thead><tbody>\n" + rows + "</tbody></table></div>\n";
}

std::string estimate_row(const Effect& effect,
                         std::string_view label,
                         const IntervalEstimate& estimate) {
  return "<tr>" + row_head(outcome_words(effect.outcome)) + cell(label, "") +
         cell(difference_words(effect, estimate.value)) +
         cell(difference_words(effect, estimate.interval.low)) +
         cell(difference_words(effect, estimate.interval.high)) +
         cell(p_words(estimate.p)) + "</tr>\n";
}

// Several where feeds of the second sample share one of the first.
std::string feeds_of(const Sample& sample, const std::vector<int>& members) {
  std::vector<int> numbers;
  for (const int i : members) numbers.push_back(sample.feeds[as_index(i)]);
  return fmt::format("{}", fmt::join(numbers, ", "));
}

std::string values_of(const Outcome& outcome,
                      std::size_t sample,
                      const std::vector<int>& members) {
  std::vector<std::string> values;
  for (const int i : members) {
    const double value = outcome.values[sample][i];
    values.push_back(!std::isfinite(value) ? "–"
                     : outcome.kind == OutcomeKind::kYesNo
                         ? (value > 0.5 ? "yes" : "no")
                         : characteristic_value(outcome.name, value));
  }
  return fmt::format("{}", fmt::join(values, ", "));
}

std::string_view matched_label(const Effect& effect) {
  if (effect.exact) return "matched (McNemar, Newcombe)";
  return effect.corrected ? "matched, corrected for the feed left"
                          : "matched (paired t)";
}

}  // namespace

std::string effect_table(const Comparison& comparison) {
  std::string rows;
  for (const Effect& effect : comparison.effects) {
    if (effect.matched.ok) {
      rows += estimate_row(effect, matched_label(effect), effect.matched);
    }
    if (effect.all_feeds.ok) {
      rows += estimate_row(
          effect, "all feeds, corrected, without pairs", effect.all_feeds);
    }
    if (std::isfinite(effect.raw)) {
      rows += "<tr>" + row_head(outcome_words(effect.outcome)) +
              cell("raw, without regard to the feed", "") +
              cell(difference_words(effect, effect.raw)) + cell("") + cell("") +
              cell("") + "</tr>\n";
    }
  }
  return table("Every estimate",
               "First minus second sample; p is that of no difference.",
               {"outcome", "estimate", ">difference", ">from", ">to", ">p"},
               rows);
}

std::string balance_table(const Comparison& comparison) {
  const bool several = comparison.balances.size() > 1;
  std::string rows;
  for (const PairBalance& two : comparison.balances) {
    for (std::size_t k = 0; k < two.rows.size(); ++k) {
      const BalanceRow& row = two.rows[k];
      rows +=
          "<tr>" +
          (several ? cell(fmt::format("{}, {}",
                                      comparison.samples[as_index(two.a)].name,
                                      comparison.samples[as_index(two.b)].name),
                          "")
                   : std::string()) +
          row_head(characteristic_words(row.characteristic)) +
          cell(rounded(comparison.calipers[k], 3)) +
          cell(rounded(row.smd_before, 2)) + cell(rounded(row.smd_after, 2)) +
          cell(rounded(row.spread_ratio_before, 2)) +
          cell(rounded(row.spread_ratio_after, 2)) +
          cell(rounded(100 * row.a_outside_b, 0)) +
          cell(rounded(100 * row.b_outside_a, 0)) + "</tr>\n";
    }
  }
  std::vector<std::string> heads{"characteristic",
                                 ">caliper",
                                 ">apart before (sd)",
                                 ">after",
                                 ">spread ratio before",
                                 ">after",
                                 ">1st outside 2nd (%)",
                                 ">2nd outside 1st (%)"};
  if (several) heads.insert(heads.begin(), "samples");
  return table("Were the feeds alike",
               "How far the means of the feeds are apart, how much more those "
               "of the first sample scatter, and how many lie outside the "
               "other's range.",
               heads,
               rows);
}

std::string pairs_section(const Comparison& comparison) {
  const auto& sets = comparison.matching.sets;
  if (sets.empty()) return {};
  std::vector<const MatchedSet*> order;
  for (const MatchedSet& set : sets) order.push_back(&set);
  std::stable_sort(
      order.begin(), order.end(), [](const auto* a, const auto* b) {
        return a->distance < b->distance;
      });
  std::vector<std::string> heads;
  for (const Sample& sample : comparison.samples) {
    heads.push_back(">" + sample.name + ", feed");
    for (const Outcome& outcome : comparison.outcomes) {
      heads.push_back(">" + sample.name + ", " + outcome_words(outcome.name));
    }
  }
  heads.emplace_back(">apart");
  std::string rows;
  for (const MatchedSet* set : order) {
    rows += "<tr>";
    for (std::size_t s = 0; s < comparison.samples.size(); ++s) {
      rows += cell(feeds_of(comparison.samples[s], set->members[s]));
      for (const Outcome& outcome : comparison.outcomes) {
        rows += cell(values_of(outcome, s, set->members[s]));
      }
    }
    rows += cell(rounded(set->distance, 2)) + "</tr>\n";
  }
  return fmt::format(
             "<section><h2>The pairs</h2>\n<details><summary>{}, the closest "
             "first</summary>\n",
             counted(static_cast<std::int64_t>(sets.size()), "set")) +
         table("The pairs",
               "Apart: how far their feeds are from each other, in standard "
               "deviations over all that was matched on. 'evenfeed overlay' "
               "shows two of them in one film.",
               heads,
               rows) +
         "</details></section>\n";
}

std::string left_out_section(const Comparison& comparison) {
  const auto& left_out = comparison.matching.left_out;
  if (left_out.empty()) return {};
  std::string rows;
  for (const LeftOut& left : left_out) {
    const Sample& sample = comparison.samples[as_index(left.sample)];
    const Sample& other = comparison.samples[as_index(left.of)];
    rows += "<tr>" + row_head(sample.name) +
            cell(fmt::format("{}", sample.feeds[as_index(left.feed)])) +
            cell(left.nearest < 0
                     ? ""
                     : fmt::format("{} {}",
                                   other.name,
                                   other.feeds[as_index(left.nearest)])) +
            cell(left_out_reason(comparison, left), "why") + "</tr>\n";
  }
  return fmt::format(
             "<section><h2>Feeds without a partner</h2>\n<details><summary>{} "
             "found none</summary>\n",
             counted(static_cast<std::int64_t>(left_out.size()), "feed")) +
         table("Feeds without a partner",
               "The nearest feed of another sample, and what kept the two "
               "apart.",
               {"sample", ">feed", "nearest", "what kept them apart"},
               rows) +
         "</details></section>\n";
}

}  // namespace evenfeed
