// SPDX-License-Identifier: MIT
#include "pairing/comparison_files.h"

#include "base/as_index.h"
#include "base/csv.h"
#include "base/version.h"
#include "pairing/words.h"
#include "session/json_text.h"

#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json interval_json(const Interval& interval) {
  return {number(interval.low), number(interval.high)};
}

Json estimate_json(const IntervalEstimate& estimate) {
  if (!estimate.ok) return nullptr;
  return {{"difference", number(estimate.value)},
          {"interval", interval_json(estimate.interval)},
          {"se", number(estimate.se)},
          {"degrees", number(estimate.degrees)},
          {"p", number(estimate.p)}};
}

Json share_json(Share share, double confidence) {
  if (share.all == 0) return nullptr;
  return {{"yes", share.yes},
          {"all", share.all},
          {"share", share.value()},
          {"wilson", interval_json(wilson_interval(share, confidence))},
          {"clopper_pearson",
           interval_json(clopper_pearson_interval(share, confidence))}};
}

Json shifts_json(const Comparison& comparison, const Effect& effect) {
  Json list = Json::array();
  for (const FeedShift& shift : effect.shifts) {
    const Sample& first = comparison.samples[0];
    list.push_back({{"characteristic",
                     first.characteristics[as_index(shift.characteristic)]},
                    {"measured", number(shift.measured)},
                    {"launcher", number(shift.launcher)},
                    {"sigma", number(shift.sigma)}});
  }
  return list;
}

Json effect_json(const Comparison& comparison, const Effect& effect) {
  Json json;
  json["outcome"] = effect.outcome;
  json["a"] = comparison.samples[as_index(effect.a)].name;
  json["b"] = comparison.samples[as_index(effect.b)].name;
  json["sentence"] = effect_sentence(comparison, effect);
  json["sets"] = effect.sets;
  json["matched"] = estimate_json(effect.matched);
  json["method"] = effect.exact       ? "pairs counted (McNemar, Newcombe)"
                   : effect.corrected ? "pairs, corrected for the feed"
                                      : "pairs (paired t)";
  json["corrected_for_feed_left"] = effect.corrected;
  json["p_holm"] = number(effect.p_holm);
  json["raw_difference"] = number(effect.raw);
  json["all_feeds_corrected"] = estimate_json(effect.all_feeds);
  if (effect.kind == OutcomeKind::kYesNo) {
    json["share_a"] = share_json(effect.share_a, comparison.confidence);
    json["share_b"] = share_json(effect.share_b, comparison.confidence);
    json["pairs"] = {{"both", effect.counts.both},
                     {"only_a", effect.counts.only_a},
                     {"only_b", effect.counts.only_b},
                     {"neither", effect.counts.neither}};
  }
  json["feed_shift"] = shifts_json(comparison, effect);
  json["films_uncertainty"] = number(effect.films);
  json["detectable"] = number(effect.detectable);
  if (comparison.wanted_difference > 0) {
    json["pairs_needed"] = {{"difference", comparison.wanted_difference},
                            {"pairs", number(std::ceil(effect.pairs_needed))}};
  }
  return json;
}

Json sample_json(const Sample& sample) {
  return {{"name", sample.name},
          {"feeds", sample.feeds_in_file},
          {"used", sample.size()},
          {"not_kept", sample.not_kept},
          {"characteristic_missing", sample.not_known}};
}

}  // namespace

std::string pairs_text(const Comparison& comparison) {
  const auto& samples = comparison.samples;
  if (samples.size() == 2) {
    CsvWriter out({"a_feed", "b_feed", "distance"});
    for (const PairRow& pair : pair_rows(comparison)) {
      out.add_row({fmt::format("{}", pair.a_feed),
                   fmt::format("{}", pair.b_feed),
                   csv_number(pair.distance, 6)});
    }
    return out.text();
  }
  std::vector<std::string> header{"set"};
  for (const Sample& sample : samples) header.push_back(sample.name + "_feed");
  header.emplace_back("distance");
  CsvWriter out(header);
  int number = 0;
  for (const MatchedSet& set : comparison.matching.sets) {
    std::vector<std::string> row{fmt::format("{}", ++number)};
    for (std::size_t s = 0; s < samples.size(); ++s) {
      row.push_back(
          fmt::format("{}", samples[s].feeds[as_index(set.members[s][0])]));
    }
    row.push_back(csv_number(set.distance, 6));
    out.add_row(row);
  }
  return out.text();
}

std::string left_out_text(const Comparison& comparison) {
  CsvWriter out(
      {"sample", "feed", "nearest_sample", "nearest_feed", "distance", "why"});
  for (const LeftOut& left : comparison.matching.left_out) {
    const Sample& sample = comparison.samples[as_index(left.sample)];
    const Sample& other = comparison.samples[as_index(left.of)];
    const bool alone = left.nearest < 0;
    out.add_row(
        {sample.name,
         fmt::format("{}", sample.feeds[as_index(left.feed)]),
         alone ? "" : other.name,
         alone ? "" : fmt::format("{}", other.feeds[as_index(left.nearest)]),
         alone ? "" : csv_number(left.distance, 3),
         left_out_reason(comparison, left)});
  }
  return out.text();
}

std::string balance_text(const Comparison& comparison) {
  CsvWriter out({"a",
                 "b",
                 "characteristic",
                 "caliper",
                 "mean_a_before",
                 "mean_b_before",
                 "smd_before",
                 "smd_after",
                 "spread_ratio_before",
                 "spread_ratio_after",
                 "a_outside_b",
                 "b_outside_a"});
  for (const PairBalance& two : comparison.balances) {
    for (std::size_t k = 0; k < two.rows.size(); ++k) {
      const BalanceRow& row = two.rows[k];
      out.add_row({comparison.samples[as_index(two.a)].name,
                   comparison.samples[as_index(two.b)].name,
                   row.characteristic,
                   csv_number(comparison.calipers[k], 4),
                   csv_number(row.mean_a_before, 4),
                   csv_number(row.mean_b_before, 4),
                   csv_number(row.smd_before, 4),
                   csv_number(row.smd_after, 4),
                   csv_number(row.spread_ratio_before, 4),
                   csv_number(row.spread_ratio_after, 4),
                   csv_number(row.a_outside_b, 4),
                   csv_number(row.b_outside_a, 4)});
    }
  }
  return out.text();
}

std::string effect_text(const Comparison& comparison) {
  Json json;
  json["program_version"] = program_version();
  json["confidence"] = comparison.confidence;
  json["power"] = comparison.power;
  json["samples"] = Json::array();
  for (const Sample& sample : comparison.samples) {
    json["samples"].push_back(sample_json(sample));
  }
  const Sample& first = comparison.samples[0];
  json["matched_on"] = Json::array();
  for (std::size_t k = 0; k < first.characteristics.size(); ++k) {
    if (first.matched_on(k)) {
      json["matched_on"].push_back(first.characteristics[k]);
    }
  }
  json["not_matched"] = first.not_matched;
  json["sets"] = comparison.matching.sets.size();
  json["pairs"] = comparison.matching.pairs;
  json["distance"] = number(comparison.matching.distance);
  json["left_out"] = comparison.matching.left_out.size();
  json["effects"] = Json::array();
  for (const Effect& effect : comparison.effects) {
    json["effects"].push_back(effect_json(comparison, effect));
  }
  json["caveats"] = comparison.caveats;
  json["warnings"] = comparison.warnings;
  return json_text(json);
}

}  // namespace evenfeed
