// SPDX-License-Identifier: MIT
// A measure from session to session as a drawing: it needs no script, prints
// as it is seen, and can be saved.
#pragma once

#include "report/take_away.h"
#include "wear/wear.h"

#include <vector>

namespace evenfeed {

/// Sessions with the interval of their own error, the trend, where a session
/// set up anew may lie, the forecast and the services. `measure` has points.
[[nodiscard]] Drawing wear_drawing(const WearResult& result,
                                   const MeasureWear& measure);

/// Those of every measure that has points, in the order of the page.
[[nodiscard]] std::vector<Drawing> wear_drawings(const WearResult& result);

}  // namespace evenfeed
