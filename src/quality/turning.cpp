// SPDX-License-Identifier: MIT
#include "quality/turning.h"

#include "quality/clean_series.h"
#include "quality/swing.h"
#include "quality/swing_or_rest.h"
#include "quality/trial_table.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

HoldBack hold_of(HoldBackKind kind, double value, const TurnLimit& limit) {
  HoldBack hold;
  hold.kind = kind;
  hold.characteristic = limit.characteristic;
  hold.value = value;
  hold.limit = limit.most;
  return hold;
}

// Of a swing by more than the limit, its words still to be said.
std::optional<HoldBack> hold_of(const Swing& swing, const TurnLimit& limit) {
  const double up_and_down = 2 * swing.amplitude;
  if (!swing.certain || up_and_down <= limit.most) return std::nullopt;
  return hold_of(HoldBackKind::kSwings, up_and_down, limit);
}

}  // namespace

std::optional<HoldBack> swing_hold(const std::vector<double>& values,
                                   double fewest_periods,
                                   const TurnLimit& limit) {
  const Swing swing = find_swing(values, fewest_periods, limit.significance);
  auto hold = hold_of(swing, limit);
  if (!hold) return std::nullopt;
  hold->text = fmt::format(
      "the launcher swings with a period of about {:.0f} feeds: {} goes up and "
      "down by {}, allowed is {}",
      swing.period,
      characteristic_words(limit.name),
      characteristic_value(limit.name, hold->value),
      characteristic_value(limit.name, limit.most));
  return hold;
}

std::optional<HoldBack> crest_hold(const std::vector<double>& values,
                                   const TurnLimit& limit) {
  const Swing swing = find_possible_swing(values, limit.significance);
  auto hold = hold_of(swing, limit);
  if (!hold) return std::nullopt;
  // A swing has turned by then, a settling has not.
  hold->more_feeds = static_cast<int>(std::ceil(swing.period / 4));
  hold->text = fmt::format(
      "the launcher may swing with a period of about {:.0f} feeds: {} went up "
      "or down by {}, allowed is {}; about {} more feeds tell",
      swing.period,
      characteristic_words(limit.name),
      characteristic_value(limit.name, hold->value),
      characteristic_value(limit.name, limit.most),
      hold->more_feeds);
  return hold;
}

std::optional<HoldBack> bend_hold(const CleanSeries& series,
                                  int first,
                                  int last,
                                  const TurnLimit& limit) {
  // Often enough chance: a launcher at rest then waits for a few feeds. Of
  // launchers that swing by 3 sd over 80 feeds it stops four in five of those
  // that would be called ready (tests/bench/decisions).
  constexpr double kHint = 1.75;
  const Bend bend = series.bend(first, last);
  const double half = std::max(1.0, 0.5 * (last - first));
  const double end = 1 + limit.horizon_feeds / half;
  const double ahead = std::abs(bend.size) * (end * end - 1);
  if (!(std::abs(bend.t) > kHint) || ahead <= limit.most) return std::nullopt;
  HoldBack hold = hold_of(HoldBackKind::kDriftUnknown, ahead, limit);
  hold.text = fmt::format(
      "{} bends over the last {} feeds, and may be turning rather than coming "
      "to rest",
      characteristic_words(limit.name),
      last - first + 1);
  return hold;
}

}  // namespace evenfeed
