// SPDX-License-Identifier: MIT
#include "pairing/words.h"

#include "base/as_index.h"
#include "base/counted.h"
#include "quality/words.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

std::string interval_words(const Effect& effect,
                           const Interval& interval,
                           double confidence) {
  return fmt::format("{:.0f} % interval {} to {}",
                     100 * confidence,
                     difference_words(effect, interval.low),
                     difference_words(effect, interval.high));
}

std::string pairs_word(int pairs) { return counted(pairs, "pair"); }

std::vector<std::string> matched_on(const Sample& sample) {
  std::vector<std::string> names;
  for (std::size_t k = 0; k < sample.characteristics.size(); ++k) {
    if (sample.matched_on(k)) names.push_back(sample.characteristics[k]);
  }
  return names;
}

std::string no_answer(const Comparison& comparison, const Effect& effect) {
  std::string why = "no two trials got the same feed";
  if (effect.known_a == 0 || effect.known_b == 0) {
    why = fmt::format(
        "it is not known for any feed of {} that may be used",
        comparison.samples[as_index(effect.known_a == 0 ? effect.a : effect.b)]
            .name);
  } else if (effect.sets > 0) {
    why = pairs_word(effect.sets) + " only got the same feed in both";
  }
  return fmt::format(
      "{}: no answer, because {}.", outcome_words(effect.outcome), why);
}

// "shorter" for times, which are not low.
std::string_view than_words(const std::string& outcome, bool more) {
  if (characteristic_unit(outcome) == "s" ||
      characteristic_unit(outcome) == "ms") {
    return more ? "longer" : "shorter";
  }
  return more ? "higher" : "lower";
}

// What is said about a speed that feeds were not matched on.
std::string speed_words(const Comparison& comparison, const Effect& effect) {
  const Sample& sample = comparison.samples[0];
  for (const FeedShift& shift : effect.shifts) {
    const std::string& name =
        sample.characteristics[as_index(shift.characteristic)];
    if (name != "speed_in_mps" || !sample.not_matched.contains(name)) continue;
    return fmt::format(
        "; the feeds' speed differed by {} ± {} and was not matched, but "
        "estimated",
        characteristic_value(name, shift.launcher),
        characteristic_value(name, shift.sigma));
  }
  return {};
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
            {a.feeds[as_index(i)],
             b.feeds[as_index(j)],
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

std::string joined(const std::vector<std::string>& words) {
  if (words.size() < 2) return fmt::format("{}", fmt::join(words, ""));
  const std::vector<std::string> front(words.begin(), words.end() - 1);
  return fmt::format("{} and {}", fmt::join(front, ", "), words.back());
}

std::string same_words(const Comparison& comparison, const Effect& effect) {
  if (effect.uneven) return "With feeds that still differ";
  const Sample& sample = comparison.samples[0];
  const std::vector<std::string> names = matched_on(sample);
  const auto has = [&](const char* name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  if (has("x_mm") && has("speed_in_mps") && sample.not_matched.empty()) {
    return "With the same feed";
  }
  if (has("x_mm") && has("y_mm")) return "With the same landing place";
  return "With the same " + joined(characteristic_words(names));
}

std::string possible_words(const Effect& effect) {
  const Interval& interval = effect.matched.interval;
  return difference_words(
      effect, std::max(std::abs(interval.low), std::abs(interval.high)));
}

std::string effect_sentence(const Comparison& comparison,
                            const Effect& effect) {
  const std::string& a = comparison.samples[as_index(effect.a)].name;
  const std::string& b = comparison.samples[as_index(effect.b)].name;
  const std::string what = outcome_words(effect.outcome);
  if (!effect.matched.ok) return no_answer(comparison, effect);
  const double value = effect.matched.value;
  const std::string how_sure = fmt::format(
      "{}; {}; {}{}",
      interval_words(effect, effect.matched.interval, comparison.confidence),
      pairs_word(effect.sets),
      p_words(effect.p_holm),
      comparison.effects.size() > 1 ? " for all outcomes together" : "");
  const std::string same = same_words(comparison, effect);
  const std::string speed = speed_words(comparison, effect);
  if (effect.significant(comparison.confidence)) {
    return fmt::format("{}, {}'s {} was {} by {} than {}'s ({}){}.",
                       same,
                       a,
                       what,
                       than_words(effect.outcome, value > 0),
                       difference_words(effect, std::abs(value)),
                       b,
                       how_sure,
                       speed);
  }
  return fmt::format(
      "{}, {} and {} cannot be told apart in {}: difference {} ({}); one of "
      "up to {} is possible{}.",
      same,
      a,
      b,
      what,
      difference_words(effect, value),
      how_sure,
      possible_words(effect),
      speed);
}

std::vector<std::string> effect_details(const Comparison& comparison,
                                        const Effect& effect) {
  std::vector<std::string> lines;
  for (const auto& [sample, share] :
       {std::pair{effect.a, effect.share_a}, {effect.b, effect.share_b}}) {
    if (share.all == 0) continue;
    const Interval sure = wilson_interval(share, comparison.confidence);
    lines.push_back(
        fmt::format("{}: {} of {} ({:.1f} %, interval {:.1f} to {:.1f} %).",
                    comparison.samples[as_index(sample)].name,
                    share.yes,
                    counted(share.all, "feed"),
                    100 * share.value(),
                    100 * sure.low,
                    100 * sure.high));
  }
  if (!effect.matched.ok) return lines;
  lines.push_back(fmt::format(
      "Without regard to the feed the difference is {}; {} of it "
      "is laid to the feed ({}).",
      difference_words(effect, effect.raw),
      difference_words(effect, effect.raw - effect.matched.value),
      joined(characteristic_words(comparison.samples[0].characteristics))));
  if (effect.films > 0) {
    lines.push_back(
        fmt::format("The films themselves leave {} (1 sd) of it uncertain, "
                    "which is in the interval and which "
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
        "To find a difference of {} takes {}{}.",
        difference_words(effect, comparison.wanted_difference),
        counted(std::llround(needed), "pair"),
        needed > effect.sets
            ? fmt::format(", {:.0f} more than there are", needed - effect.sets)
            : ": there are enough"));
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
      "{} matched on {}, out of {} usable feeds.",
      comparison.samples.size() == 2
          ? pairs_word(comparison.matching.pairs)
          : fmt::format(
                "{} of {}", counted(sets, "set"), comparison.samples.size()),
      joined(characteristic_words(matched_on(comparison.samples[0]))),
      fmt::join(from, ", "));
}

std::string left_out_reason(const Comparison& comparison, const LeftOut& left) {
  if (left.nearest < 0) return "there is no other feed";
  if (left.broken.empty()) return "every feed alike went to another";
  const Sample& own = comparison.samples[as_index(left.sample)];
  const Sample& other = comparison.samples[as_index(left.of)];
  std::vector<std::string> parts;
  for (const int k : left.broken) {
    const std::string& name = own.characteristics[as_index(k)];
    parts.push_back(fmt::format(
        "{} {} apart, allowed {}",
        characteristic_words(name),
        characteristic_value(
            name,
            std::abs(own.values(left.feed, k) - other.values(left.nearest, k))),
        characteristic_value(name, comparison.calipers[as_index(k)])));
  }
  return fmt::format("{}", fmt::join(parts, "; "));
}

}  // namespace evenfeed
