// SPDX-License-Identifier: MIT
// What is followed from session to session: what survives a re-set of the
// bench. Where feeds land does not; how they scatter there does.
//
// Levels are taken as logarithms, in per cent: 100 ln(mean). A wheel that
// loses 1 % per 1000 feeds then loses the same whatever it is set to.
#pragma once

#include "session/store.h"

#include <array>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

namespace evenfeed {

enum class Measure {
  kSpeed,         ///< mean speed at the bounce
  kKick,          ///< mean kick
  kTurn,          ///< mean change of heading at the bounce
  kHeading,       ///< mean heading
  kSpreadAlong,   ///< spread of the landing along the table
  kSpreadAcross,  ///< and across
  kSpreadSpeed,   ///< spread of the speed
  kDrift,         ///< movement of the speed within the session
  kInterval,      ///< mean time between feeds
};
inline constexpr int kMeasureCount = 9;

struct MeasureInfo {
  Measure id;
  std::string_view name;   ///< in files: "speed"
  std::string_view words;  ///< for people
  std::string_view unit;   ///< of movements: "%", "deg"
  /// The value of a session is 100 ln of a level in this unit; empty: the
  /// value itself has `unit`.
  std::string_view level_unit;
  int decimals;  ///< of levels
  int share;     ///< of the false alarms allowed, in parts
};
const std::array<MeasureInfo, kMeasureCount>& measures();
const MeasureInfo& info(Measure id);
std::optional<Measure> find_measure(std::string_view name);
/// The level that a session's value stands for.
double level_of(Measure id, double value);

/// A measure of one session. Its variance is `unit_variance` / `weight`; the
/// first is pooled over sessions, since few feeds do not tell it well.
struct SessionValue {
  double value = std::numeric_limits<double>::quiet_NaN();  ///< NaN: none
  double unit_variance = 0;
  double weight = 0;
};
using SessionValues = std::array<SessionValue, kMeasureCount>;

/// The characteristics that summarise() needs, in its order.
const std::vector<Characteristic>& measured_characteristics();

/// Mis-feeds, single values further than 6 robust sd from the median, and,
/// when the launcher was ready, the feeds before it was stable are left out.
/// Levels need `fewest` feeds, spreads and drifts twice as many.
SessionValues summarise(const SessionSeries& series, int fewest);

}  // namespace evenfeed
