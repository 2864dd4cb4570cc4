// SPDX-License-Identifier: MIT
// The quantities of a feed that random worlds are judged by, as they were and
// as they were measured.
#pragma once

#include "flight/session_fit.h"
#include "simulate/true_feeds.h"

#include <array>

namespace evenfeed {

struct WorldQuantity {
  const char* name;
  double scale;  ///< from the unit of files to that of the name
};
inline constexpr int kWorldQuantities = 11;
inline constexpr WorldQuantity kWorldQuantity[kWorldQuantities] = {
    {"x mm", 1},
    {"y mm", 1},
    {"t ms", 1e3},
    {"speed mm/s", 1e3},
    {"descent deg", 1},
    {"kick /1000", 1e3},
    {"contact t ms", 1e3},
    {"contact y mm", 1},
    {"contact z mm", 1},
    {"return mm/s", 1e3},
    {"return deg", 1},
};

using WorldRow = std::array<Measured, kWorldQuantities>;
using WorldValues = std::array<double, kWorldQuantities>;

/// In the units of files.
WorldRow measured_row(const Feed& feed);
WorldValues true_row(const TrueFeed& feed);
/// What the session leaves uncertain in all alike, in the units of the names;
/// NaN when not known.
WorldValues common_sigmas(const SessionFit& fit);

}  // namespace evenfeed
