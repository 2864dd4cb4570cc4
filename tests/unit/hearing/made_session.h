// SPDX-License-Identifier: MIT
// A session to be heard, with known truth, of plain numbers (invented data).
#pragma once

#include "base/random.h"
#include "geometry/tick.h"
#include "hearing/hearing.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace evenfeed {

struct MadeSession {
  int feeds = 60;
  double interval_s = 1.4;
  double sight_s = 1e-3;   ///< sd of the bounce's time as seen
  double tick_s = 1.5e-4;  ///< sd of a tick's
  double offset_s = 0.06;
  double drift = 20e-6;
  double heard = 0.95;       ///< share of bounces that tick
  double others_hz = 2;      ///< ticks of anything
  bool of_feeds_too = true;  ///< launcher and sample tick with each feed
  double strength_db = 25;   ///< of the bounces; others lie 10 lower

  struct Made {
    std::vector<ExpectedTick> expected;
    std::vector<double> truth_s;  ///< when each bounced
    std::vector<int> own;         ///< its tick; -1: none
    std::vector<Tick> ticks;
  };
  Made make(std::uint64_t seed) const {
    Made made;
    RandomEngine engine = derived_engine(seed, "hearing");
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> uniform;
    struct Raw {
      Tick tick;
      int feed;
    };
    std::vector<Raw> raw;
    const double middle_s = feeds * interval_s / 2;
    const auto add =
        [&](double t_s, double distance_m, double db, double high, int feed) {
          Tick tick;
          tick.t_s = t_s + distance_m / 343.2 + offset_s +
                     drift * (t_s - middle_s) + tick_s * normal(engine);
          tick.sigma_s = tick_s;
          tick.strength_db = db + 3 * normal(engine);
          const double part =
              std::clamp(high + 0.1 * normal(engine), 0.02, 0.9);
          tick.band_share = {(1 - part) / 2, (1 - part) / 2, part};
          raw.push_back({tick, feed});
        };
    for (int i = 0; i < feeds; ++i) {
      const double t_s = 1 + i * interval_s + 0.03 * normal(engine);
      const double distance_m = 2.4 + 0.2 * uniform(engine);
      made.truth_s.push_back(t_s);
      made.expected.push_back(
          {t_s + sight_s * normal(engine), sight_s, distance_m});
      if (uniform(engine) < heard) add(t_s, distance_m, strength_db, 0.4, i);
      if (!of_feeds_too) continue;
      add(t_s - 0.33 + 0.004 * normal(engine), 3, strength_db - 3, 0.2, -1);
      add(t_s + 0.30 + 0.004 * normal(engine), 2.8, strength_db - 2, 0.3, -1);
    }
    const double end_s = feeds * interval_s + 2;
    std::exponential_distribution<double> wait_s(std::max(others_hz, 1e-9));
    for (double t_s = wait_s(engine); t_s < end_s; t_s += wait_s(engine)) {
      add(t_s, 4, strength_db - 10 + 5 * normal(engine), uniform(engine), -1);
    }
    std::sort(raw.begin(), raw.end(), [](const Raw& a, const Raw& b) {
      return a.tick.t_s < b.tick.t_s;
    });
    made.own.assign(static_cast<std::size_t>(feeds), -1);
    for (const Raw& one : raw) {
      if (one.feed >= 0) {
        made.own[static_cast<std::size_t>(one.feed)] =
            static_cast<int>(made.ticks.size());
      }
      made.ticks.push_back(one.tick);
    }
    return made;
  }

  /// What the offset really was, at the middle that `clock` counts from.
  double true_offset_s(const SoundClock& clock) const {
    return offset_s + drift * (clock.middle_s - feeds * interval_s / 2);
  }
};

}  // namespace evenfeed
