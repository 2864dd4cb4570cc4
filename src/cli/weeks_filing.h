// SPDX-License-Identifier: MIT
// Simulated weeks of a launcher as filed sessions: judged as films would be.
#pragma once

#include "quality/options.h"
#include "session/store.h"
#include "simulate/weeks.h"

#include <string>

namespace evenfeed {

struct WeeksFiling {
  std::string scenario_text;
  std::uint64_t seed = 1;
  std::string profile_name;
  std::string profile_text;
  QualityOptions quality;
};

/// A session of the scenario, its feeds judged. `index` counts from 0.
SessionRecord weeks_record(const WeeksScenario& scenario,
                           const WeeksSession& session,
                           int index,
                           const WeeksFiling& filing);

/// Files every session and service entry. Gives the number of feeds. Throws
/// UsageError for a kind of service nobody knows; sessions that are there
/// already are refused.
int file_weeks(const WeeksScenario& scenario,
               const WeeksFiling& filing,
               Store& store);

}  // namespace evenfeed
