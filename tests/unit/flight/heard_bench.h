// SPDX-License-Identifier: MIT
// Ticks for the tests of feeds that are heard.
#pragma once

#include "base/random.h"
#include "geometry/tick.h"

#include <algorithm>
#include <random>
#include <vector>

namespace evenfeed {

/// A bounce's tick, found to 0.2 ms.
inline Tick clear_tick(double t_s) {
  Tick tick;
  tick.t_s = t_s;
  tick.sigma_s = 2e-4;
  tick.strength_db = 20;
  tick.band_share = {0.4, 0.4, 0.2};
  return tick;
}

/// Others among them, at any time until `until_s`; all in order.
inline void add_others(double how_many,
                       double until_s,
                       RandomEngine& random,
                       std::vector<Tick>& ticks) {
  std::uniform_real_distribution<double> any_s(0, until_s);
  for (int i = 0; i < how_many; ++i) ticks.push_back(clear_tick(any_s(random)));
  std::sort(ticks.begin(), ticks.end(), [](const Tick& a, const Tick& b) {
    return a.t_s < b.t_s;
  });
}

}  // namespace evenfeed
