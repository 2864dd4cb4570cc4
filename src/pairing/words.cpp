// SPDX-License-Identifier: MIT
#include "pairing/words.h"

#include "quality/trial_table.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string interval_words(const Effect& effect,
                           const Interval& interval,
                           double confidence) {
  return fmt::format("{:.0f} % interval {} to {}",
                     100 * confidence,
                     difference_words(effect, interval.low),
                     difference_words(effect, interval.high));
}

std::string pairs_word(int pairs) {
  return pairs == 1 ? "1 pair" : fmt::format("{} pairs", pairs);
}

}  // namespace

std::vector<PairRow> pair_rows(const Comparison& comparison) {
  std::vector<PairRow> rows;
  const Sample& a = comparison.samples[0];
  const Sample& b = comparison.samples[1];
  for (const MatchedSet& set : comparison.matching.sets) {
    for (const int i : set.members[0]) {
      for (const int j : set.members[1]) {
        rows.push_back(
            {a.feeds[at(i)],
             b.feeds[at(j)],
             set.distance / static_cast<double>(set.members[1].size())});
      }
    }
  }
  return rows;
}

std::string difference_words(const Effect& effect, double difference) {
  if (!std::isfinite(difference)) return "unknown";
  if (effect.kind == OutcomeKind::kYesNo) {
    return fmt::format("{:.0f} percentage points", 100 * difference);
  }
  return characteristic_value(effect.outcome, difference);
}

std::string p_words(double p) {
  if (!std::isfinite(p)) return "p unknown";
  return p < 0.0001 ? "p < 0.0001" : fmt::format("p = {:.2g}", p);
}

std::string effect_sentence(const Comparison& comparison,
                            const Effect& effect) {
  const std::string& a = comparison.samples[at(effect.a)].name;
  const std::string& b = comparison.samples[at(effect.b)].name;
  const std::string what = outcome_words(effect.outcome);
  if (!effect.matched.ok) {
    return fmt::format(
        "{}: no answer, because {} got the same feed in both.",
        what,
        effect.sets == 0 ? "no two trials" : pairs_word(effect.sets) + " only");
  }
  const double value = effect.matched.value;
  const std::string how_sure = fmt::format(
      "{}; {}; {}{}",
      interval_words(effect, effect.matched.interval, comparison.confidence),
      pairs_word(effect.sets),
      p_words(effect.p_holm),
      comparison.effects.size() > 1 ? " for all outcomes together" : "");
  if (effect.significant(comparison.confidence)) {
    return fmt::format(
        "With the same feed, {}'s {} was {} by {} than {}'s ({}).",
        a,
        what,
        value > 0 ? "higher" : "lower",
        difference_words(effect, std::abs(value)),
        b,
        how_sure);
  }
  std::string text = fmt::format(
      "With the same feed, {} and {} can not be told apart in {}: difference "
      "{} "
      "({})",
      a,
      b,
      what,
      difference_words(effect, value),
      how_sure);
  if (std::isfinite(effect.detectable)) {
    text += fmt::format(
        "; one of {} would have been found in {:.0f} of 100 "
        "such tests",
        difference_words(effect, effect.detectable),
        100 * comparison.power);
  }
  return text + ".";
}

std::vector<std::string> effect_details(const Comparison& comparison,
                                        const Effect& effect) {
  std::vector<std::string> lines;
  if (effect.kind == OutcomeKind::kYesNo) {
    for (const auto& [sample, share] :
         {std::pair{effect.a, effect.share_a}, {effect.b, effect.share_b}}) {
      const Interval sure = wilson_interval(share, comparison.confidence);
      lines.push_back(fmt::format(
          "{}: {} of {} feeds ({:.1f} %, interval {:.1f} to {:.1f} %).",
          comparison.samples[at(sample)].name,
          share.yes,
          share.all,
          100 * share.value(),
          100 * sure.low,
          100 * sure.high));
    }
  }
  if (effect.raw.ok && effect.matched.ok) {
    lines.push_back(fmt::format(
        "Without regard to the feed the difference is {}; {} of it came with "
        "the feed.",
        difference_words(effect, effect.raw.value),
        difference_words(effect, effect.raw.value - effect.matched.value)));
  }
  if (effect.films > 0 && effect.matched.ok) {
    lines.push_back(fmt::format(
        "The films themselves, each with a calibration and a fit of its own, "
        "leave {} (1 sd) of it uncertain, which is in the interval and which "
        "more pairs do not make smaller: one film of both would.",
        difference_words(effect, effect.films)));
  }
  if (std::isfinite(effect.detectable)) {
    lines.push_back(
        fmt::format("The smallest difference this test finds in {:.0f} of 100 "
                    "cases is {}.",
                    100 * comparison.power,
                    difference_words(effect, effect.detectable)));
  }
  if (std::isfinite(effect.pairs_needed)) {
    const double needed = std::ceil(effect.pairs_needed);
    lines.push_back(fmt::format(
        "To find a difference of {} takes {:.0f} pairs{}.",
        difference_words(effect, comparison.wanted_difference),
        needed,
        needed > effect.sets
            ? fmt::format(", {:.0f} more than there are", needed - effect.sets)
            : ": there are enough"));
  }
  if (std::isfinite(effect.gamma) &&
      effect.significant(comparison.confidence)) {
    lines.push_back(fmt::format(
        "Something not measured would have to favour one side of a pair by "
        "odds of more than {:.2g} to 1 to undo the result (Rosenbaum's gamma).",
        effect.gamma));
  }
  return lines;
}

std::string matching_sentence(const Comparison& comparison) {
  std::vector<std::string> from;
  for (const Sample& sample : comparison.samples) {
    from.push_back(fmt::format("{} of {}", sample.size(), sample.name));
  }
  const auto sets = static_cast<int>(comparison.matching.sets.size());
  return fmt::format(
      "{} with the same feed, out of {} usable feeds.",
      comparison.samples.size() == 2
          ? pairs_word(comparison.matching.pairs)
          : fmt::format("{} sets of {}", sets, comparison.samples.size()),
      fmt::join(from, ", "));
}

std::string left_out_reason(const Comparison& comparison, const LeftOut& left) {
  if (left.nearest < 0) return "there is no other feed";
  if (left.broken.empty()) return "every feed alike went to another";
  const Sample& own = comparison.samples[at(left.sample)];
  const Sample& other = comparison.samples[at(left.of)];
  std::vector<std::string> parts;
  for (const int k : left.broken) {
    const std::string& name = own.characteristics[at(k)];
    parts.push_back(fmt::format(
        "{} {} apart, allowed {}",
        name,
        characteristic_value(
            name,
            std::abs(own.values(left.feed, k) - other.values(left.nearest, k))),
        characteristic_value(name, comparison.calipers[at(k)])));
  }
  return fmt::format("{}", fmt::join(parts, "; "));
}

}  // namespace evenfeed
