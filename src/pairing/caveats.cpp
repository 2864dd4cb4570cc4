// SPDX-License-Identifier: MIT
#include "pairing/caveats.h"

#include "base/as_index.h"
#include "base/counted.h"
#include "pairing/trial_sequence.h"
#include "pairing/words.h"
#include "quality/words.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// More of a sample's feeds than this outside the other's is a lack of overlap,
// unless samples of their size that are alike show it by chance: at most in so
// many comparisons.
constexpr double kMuchOutside = 0.30;
constexpr double kOutsideByChance = 0.02;
// A standardised difference that still matters (Austin 2009).
constexpr double kStillDifferent = 0.10;
// Share of measurement in the observed variance above which feeds cannot be
// matched well.
constexpr double kCoarse = 0.15;

using Caveats = std::vector<std::string>;

std::vector<std::string> sample_names(const Comparison& comparison) {
  std::vector<std::string> names;
  for (const Sample& sample : comparison.samples) names.push_back(sample.name);
  return names;
}

void about_kinds(const Comparison& comparison,
                 const std::optional<SampleSheet>& declared,
                 Caveats& caveats) {
  std::map<std::string, std::vector<std::string>> of_kind;
  for (const Sample& sample : comparison.samples) {
    const DeclaredSample* known =
        declared ? declared->find(sample.name) : nullptr;
    const std::string kind = known ? known->kind : "";
    of_kind[kind.empty() ? sample.name : kind].push_back(sample.name);
  }
  const bool one_each =
      std::all_of(of_kind.begin(), of_kind.end(), [](const auto& kind) {
        return kind.second.size() == 1;
      });
  if (of_kind.size() > 1 && one_each) {
    caveats.push_back(fmt::format(
        "One sheet of each kind was tried ({}): the kind and the single sheet "
        "cannot be told apart. Try a second sheet of each before you speak of "
        "kinds.",
        joined(sample_names(comparison))));
  }
}

void about_properties(const Comparison& comparison,
                      const std::optional<SampleSheet>& declared,
                      Caveats& caveats) {
  if (!declared) return;
  for (const PairBalance& two : comparison.balances) {
    const std::string& name_a = comparison.samples[as_index(two.a)].name;
    const std::string& name_b = comparison.samples[as_index(two.b)].name;
    const DeclaredSample* a = declared->find(name_a);
    const DeclaredSample* b = declared->find(name_b);
    if (a == nullptr || b == nullptr) {
      caveats.push_back(
          fmt::format("Nothing is declared about {}: what else differs between "
                      "{} and {} is not known.",
                      a == nullptr ? name_a : name_b,
                      name_a,
                      name_b));
      continue;
    }
    std::vector<std::string> differ;
    for (std::size_t k = 0; k < declared->properties.size(); ++k) {
      if (a->values[k].empty() || b->values[k].empty()) continue;
      if (a->values[k] == b->values[k]) continue;
      differ.push_back(fmt::format(
          "{} ({}, {})", declared->properties[k], a->values[k], b->values[k]));
    }
    if (differ.size() > 1) {
      caveats.push_back(fmt::format(
          "{} and {} differ in {} declared properties: {}. The test cannot "
          "tell which of them made a difference.",
          name_a,
          name_b,
          differ.size(),
          joined(differ)));
    }
  }
}

// The characteristic that drifted most between the samples, in pooled sd.
std::string feed_drift(const Sample& a,
                       const Sample& b,
                       const TrialSequence& sequence,
                       const FeedDistance& distance) {
  double most = 0;
  std::string words;
  for (std::size_t k = 0; k < a.characteristics.size(); ++k) {
    const auto column = static_cast<Eigen::Index>(k);
    const Drift drift =
        drift_between(sequence, a.values.col(column), b.values.col(column));
    const double sd = distance.pooled_sd()(column);
    if (!std::isfinite(drift.between_samples) || sd <= 0) continue;
    const double relative = std::abs(drift.between_samples) / sd;
    if (relative <= most) continue;
    most = relative;
    words = fmt::format(
        "{} by {} (± {}, {:.1f} sd)",
        characteristic_words(a.characteristics[k]),
        characteristic_value(a.characteristics[k], drift.between_samples),
        characteristic_value(a.characteristics[k], drift.se),
        relative);
  }
  return words;
}

void about_order(const Comparison& comparison,
                 const Outcomes& outcomes,
                 const FeedDistance& distance,
                 Caveats& caveats) {
  for (const PairBalance& two : comparison.balances) {
    const Sample& a = comparison.samples[as_index(two.a)];
    const Sample& b = comparison.samples[as_index(two.b)];
    const TrialSequence sequence = trial_sequence(a, b);
    if (!sequence.mixed_with_sample()) continue;
    const bool a_first = sequence.a_first > 0.5;
    std::string text = fmt::format(
        "{} was tried before {}: whatever drifted in between is mixed with the "
        "sample.",
        a_first ? a.name : b.name,
        a_first ? b.name : a.name);
    if (sequence.separate) {
      text = fmt::format(
          "{} and {} come from separate files that do not say how their trials "
          "followed each other, and are taken as {} first: whatever changed in "
          "between (drift, a bench set up anew, the balls) is mixed with the "
          "sample.",
          a.name,
          b.name,
          a.name);
    }
    const std::string feed = feed_drift(a, b, sequence, distance);
    if (!feed.empty()) {
      text += fmt::format(
          " The drift within the samples, carried on, is in the feed mostly {}",
          feed);
    }
    for (const Effect& effect : comparison.effects) {
      if (effect.a != two.a || effect.b != two.b) continue;
      for (const Outcome& outcome : outcomes.all) {
        if (outcome.name != effect.outcome) continue;
        const Drift drift = drift_between(sequence,
                                          outcome.values[as_index(two.a)],
                                          outcome.values[as_index(two.b)]);
        if (!std::isfinite(drift.between_samples)) continue;
        text += fmt::format(
            "{} in {} {} (± {}), where the difference is {}",
            feed.empty() ? " The drift within the samples, carried on, is"
                         : ",",
            outcome_words(effect.outcome),
            characteristic_value(effect.outcome, drift.between_samples),
            characteristic_value(effect.outcome, drift.se),
            characteristic_value(effect.outcome, effect.matched.value));
      }
    }
    if (text.back() != '.') text += ".";
    caveats.push_back(text +
                      " Next time mix the order: 'evenfeed plan order'.");
  }
}

// Of what was not matched: how the launcher is taken to have differed.
std::vector<std::string> shift_words(const Comparison& comparison,
                                     const PairBalance& two) {
  const Sample& first = comparison.samples[0];
  std::vector<std::string> words;
  for (const Effect& effect : comparison.effects) {
    if (effect.a != two.a || effect.b != two.b || effect.shifts.empty()) {
      continue;
    }
    for (const FeedShift& shift : effect.shifts) {
      const std::string& name =
          first.characteristics[as_index(shift.characteristic)];
      if (!first.not_matched.contains(name)) continue;
      words.push_back(fmt::format("{} by {} ± {} (measured {})",
                                  characteristic_words(name),
                                  characteristic_value(name, shift.launcher),
                                  characteristic_value(name, shift.sigma),
                                  characteristic_value(name, shift.measured)));
    }
    break;
  }
  return words;
}

// What was done about feeds that still differ, outcome by outcome.
std::string correction_words(const Comparison& comparison,
                             const PairBalance& two) {
  std::vector<std::string> corrected;
  std::vector<std::string> small;
  std::vector<std::string> left;
  for (const Effect& effect : comparison.effects) {
    if (effect.a != two.a || effect.b != two.b || !effect.matched.ok) continue;
    auto& list = effect.corrected ? corrected : effect.exact ? small : left;
    list.push_back(outcome_words(effect.outcome));
  }
  std::string words;
  const auto say = [&](const char* text, const auto& outcomes) {
    if (outcomes.empty()) return;
    words += fmt::format(fmt::runtime(text), joined(outcomes));
  };
  say(" The difference in {} is corrected for it by a straight line; what is "
      "not straight is left.",
      corrected);
  say(" The difference in {} is not corrected for it, since that would move it "
      "by less than a quarter of its standard error.",
      small);
  say(" The difference in {} is not corrected for it, because there are too "
      "few feeds: part of it may come from the feed.",
      left);
  return words;
}

// Whether so large a share of n values lies outside the range of m others of
// the same kind by chance with a probability of at most `level`. Of the orders
// of n + m values, (t + 1) C(n - t + m - 2, m - 2) have t of the n outside.
bool beyond_chance(double share, int n, int m, double level) {
  if (m < 2) return false;
  const auto log_choose = [](double of, double k) {
    return std::lgamma(of + 1) - std::lgamma(k + 1) - std::lgamma(of - k + 1);
  };
  double probability = 0;
  for (int t = static_cast<int>(std::lround(share * n)); t <= n; ++t) {
    probability +=
        std::exp(std::log(t + 1.0) + log_choose(n - t + m - 2, m - 2) -
                 log_choose(n + m, m));
  }
  return probability <= level;
}

void about_outside(const Comparison& comparison,
                   const PairBalance& two,
                   Caveats& caveats) {
  const Sample& a = comparison.samples[as_index(two.a)];
  const Sample& b = comparison.samples[as_index(two.b)];
  const double level =
      kOutsideByChance /
      static_cast<double>(2 * two.rows.size() * comparison.balances.size());
  std::vector<std::string> outside;
  const auto look = [&](const std::string& name,
                        const Sample& of,
                        double share,
                        const Sample& other) {
    if (share <= kMuchOutside) return;
    if (!beyond_chance(share, of.size(), other.size(), level)) return;
    outside.push_back(fmt::format("{} ({:.0f} % of the feeds of {})",
                                  characteristic_words(name),
                                  100 * share,
                                  of.name));
  };
  for (const BalanceRow& row : two.rows) {
    look(row.characteristic, a, row.a_outside_b, b);
    look(row.characteristic, b, row.b_outside_a, a);
  }
  if (outside.empty()) return;
  caveats.push_back(fmt::format(
      "Little overlap: many feeds lie outside those of the other sample in {}. "
      "The comparison is about the feeds both of them got.",
      joined(outside)));
}

void about_overlap(const Comparison& comparison, Caveats& caveats) {
  for (const PairBalance& two : comparison.balances) {
    about_outside(comparison, two, caveats);
    std::vector<std::string> left;
    for (std::size_t k = 0; k < two.rows.size(); ++k) {
      const BalanceRow& row = two.rows[k];
      if (!comparison.samples[0].matched_on(k)) continue;
      if (std::abs(row.smd_after) > kStillDifferent) {
        left.push_back(fmt::format("{} ({:+.2f} sd)",
                                   characteristic_words(row.characteristic),
                                   row.smd_after));
      }
    }
    if (left.empty()) continue;
    caveats.push_back(
        fmt::format("After matching the feeds of {} and {} still differ in {}.",
                    comparison.samples[as_index(two.a)].name,
                    comparison.samples[as_index(two.b)].name,
                    joined(left)) +
        correction_words(comparison, two));
  }
}

// What the films do not agree on, and what was made of it.
void about_films(const Comparison& comparison,
                 const Outcomes& outcomes,
                 Caveats& caveats) {
  const Sample& first = comparison.samples[0];
  if (!first.not_matched.empty()) {
    const std::vector<std::string> names(first.not_matched.begin(),
                                         first.not_matched.end());
    std::string text = fmt::format(
        "Not matched on {}: the films do not agree on it well enough.",
        joined(characteristic_words(names)));
    for (const PairBalance& two : comparison.balances) {
      const std::vector<std::string> shifts = shift_words(comparison, two);
      if (shifts.empty()) continue;
      text += fmt::format(
          " How the launcher fed {} more than {}, as far as can be told: {}. "
          "What that made, and may have made, is in the estimate and its "
          "interval.",
          comparison.samples[as_index(two.a)].name,
          comparison.samples[as_index(two.b)].name,
          joined(shifts));
    }
    caveats.push_back(text);
  }
  for (const Outcome& outcome : outcomes.all) {
    if (outcome.name.rfind("ret_", 0) != 0) continue;
    const bool films =
        std::any_of(comparison.samples.begin(),
                    comparison.samples.end(),
                    [](const auto& s) { return !s.shared.empty(); });
    const bool told = std::any_of(outcome.shared.begin(),
                                  outcome.shared.end(),
                                  [](double sigma) { return sigma > 0; });
    if (!films || told) continue;
    caveats.push_back(fmt::format(
        "How far the films are off in {} itself is not known, and not in its "
        "interval.",
        outcome_words(outcome.name)));
  }
}

void about_precision(const Comparison& comparison,
                     const FeedDistance& distance,
                     Caveats& caveats) {
  const auto& names = comparison.samples[0].characteristics;
  std::vector<std::string> coarse;
  for (std::size_t k = 0; k < names.size(); ++k) {
    const double share = distance.noise_share()(static_cast<Eigen::Index>(k));
    if (share > kCoarse) {
      coarse.push_back(fmt::format(
          "{} ({:.0f} %)", characteristic_words(names[k]), 100 * share));
    }
  }
  if (!coarse.empty()) {
    caveats.push_back(fmt::format(
        "Much of the spread of the feeds is measurement: {} of the variance. "
        "Feeds that look alike need not be. What that hides of a difference "
        "between the samples' feeds is estimated, where the outcome is "
        "corrected for the feed at all.",
        joined(coarse)));
  }
  for (const Effect& effect : comparison.effects) {
    if (effect.reading_sigma <= 0 || !effect.matched.ok) continue;
    if (std::abs(effect.matched.value) >= effect.reading_sigma / 3) continue;
    caveats.push_back(fmt::format(
        "The difference in {} ({}) is finer than the camera sees in one "
        "reading ({}): only the mean of many shows it, and a small error "
        "common to one sample's session could have made it.",
        outcome_words(effect.outcome),
        characteristic_value(effect.outcome, effect.matched.value),
        characteristic_value(effect.outcome, effect.reading_sigma)));
  }
}

void about_numbers(const Comparison& comparison,
                   int planned_pairs,
                   Caveats& caveats) {
  if (planned_pairs > comparison.matching.pairs) {
    caveats.push_back(
        fmt::format("{} {} planned and {} found: the test sees less "
                    "than it was meant to.",
                    counted(planned_pairs, "pair"),
                    planned_pairs == 1 ? "was" : "were",
                    comparison.matching.pairs));
  }
  for (const Effect& effect : comparison.effects) {
    if (effect.sets > 0 && effect.sets < 6) {
      caveats.push_back(fmt::format(
          "{} rests on {}: so few hardly tell how much they scatter.",
          outcome_words(effect.outcome),
          counted(effect.sets, "pair")));
    }
  }
  for (const Sample& sample : comparison.samples) {
    if (sample.judged) continue;
    caveats.push_back(fmt::format(
        "The feeds of {} were not judged ('evenfeed qualify'): warm-up and "
        "mis-feeds may be among them.",
        sample.name));
  }
  if (!comparison.matching.exact) {
    caveats.push_back(
        "With more than two samples the sets are good but not proven to be "
        "the best possible.");
  }
}

}  // namespace

std::vector<std::string> find_caveats(
    const Comparison& comparison,
    const Outcomes& outcomes,
    const FeedDistance& distance,
    const std::optional<SampleSheet>& declared,
    int planned_pairs) {
  Caveats caveats;
  about_kinds(comparison, declared, caveats);
  about_properties(comparison, declared, caveats);
  about_order(comparison, outcomes, distance, caveats);
  about_overlap(comparison, caveats);
  about_films(comparison, outcomes, caveats);
  about_precision(comparison, distance, caveats);
  about_numbers(comparison, planned_pairs, caveats);
  return caveats;
}

}  // namespace evenfeed
