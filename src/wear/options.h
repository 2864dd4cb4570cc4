// SPDX-License-Identifier: MIT
// How wear is judged: the section [wear] of a profile.
#pragma once

#include "base/toml_file.h"

#include <map>
#include <string>

namespace evenfeed {

struct WearOptions {
  double confidence = 0.95;  ///< of intervals
  /// Of any false alarm about a launcher that does not wear, when it is asked
  /// with 25 sessions; shared among the measures, speed and kick most. With
  /// fewer sessions it is less in proportion, with more up to twice that: a
  /// young launcher's few sessions are asked about as often as many later.
  double alarm = 0.003;
  int fewest_feeds = 8;  ///< of a session that counts; spreads need twice that
  int fewest_sessions = 5;  ///< with a value, for a measure to be judged
  /// How far a measure may move from where it stood after its last service, in
  /// the measure's unit (wear/measures.h), by its name.
  std::map<std::string, double> allowed{
      {"speed", 3},
      {"kick", 5},
      {"turn", 2},
      {"heading", 1},
      {"spread_along", 50},
      {"spread_across", 50},
      {"spread_speed", 50},
      {"drift", 2},
      {"interval", 5},
  };
  void check() const;
};

/// Reads the section; refuses keys and measures nobody knows.
WearOptions load_wear(const TomlTable& section);

}  // namespace evenfeed
