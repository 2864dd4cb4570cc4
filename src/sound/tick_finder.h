// SPDX-License-Identifier: MIT
// Ticks in a row of samples, block by block, in constant memory.
//
// The sound above 1.5 kHz (steps, voices and motors lie mostly below, a ball's
// contact of about 1 ms does not) is taken to its momentary energy. A tick is
// where that rises, within half a millisecond, to several times what went
// before: the larger of the hall's level, which follows over a third of a
// second and is hardly moved by single clicks, and of the last hundredth of a
// second, which holds the echo of the tick before. The ratio of a short to a
// long mean is the trigger of seismology (STA/LTA; documentation of ObsPy's
// signal.trigger); peaks of energy find bounces of table-tennis balls to a
// millisecond (Gossard, Schmalzl, Ziegler and Zell, arXiv:2409.11760, of which
// the abstract was read). The onset itself is where the variance changes
// (onset_time.h).
#pragma once

#include "geometry/tick.h"
#include "sound/biquad.h"
#include "sound/sound_source.h"

#include <optional>
#include <vector>

namespace evenfeed {

struct TickOptions {
  /// Energy over that before it. A minute of plain noise does not reach it
  /// (tick_finder_test).
  double least_ratio = 6;
  double least_gap_s = 0.008;  ///< from one tick to the next
  /// What an onset is off by, beside what its own samples leave open: clicks
  /// rise over a tenth of a millisecond, and coders smear them.
  double least_sigma_s = 1e-4;
  void check() const;
};

class TickFinder {
 public:
  explicit TickFinder(const TickOptions& options = {});

  /// The ticks that are complete with this block, in order of time.
  std::vector<Tick> add(const SoundBlock& block);
  /// Root mean square of all samples: 0 for silence.
  double level() const;

 private:
  struct Filters {
    explicit Filters(double rate_hz);
    Biquad above, steeper, low, middle_from, middle_to, high;
  };
  void start_over(double rate_hz);
  void add_sample(double x);
  std::optional<Tick> finished_tick(double t_now_s) const;

  TickOptions options_;
  double rate_hz_ = 0;
  std::optional<Filters> filters_;
  // Means of energy, and how much of a new sample each takes.
  double fast_ = 0, recent_ = 0, hall_ = 0;
  double fast_gain_ = 0, recent_gain_ = 0, hall_gain_ = 0, band_gain_ = 0;
  std::array<double, 3> bands_{};
  std::vector<double> history_;  ///< a ring of filtered samples
  std::vector<double> delayed_;  ///< a ring of energies, 1 ms
  long long count_ = 0;          ///< samples since the last gap
  // The tick that is being listened to.
  bool listening_ = false;
  long long triggered_ = 0;
  long long loudest_at_ = 0;
  long long deaf_until_ = 0;
  double before_ = 0;  ///< energy it is held against
  double loudest_ = 0;
  std::array<double, 3> bands_before_{};
  std::array<double, 3> bands_of_tick_{};

  double sum_squares_ = 0;
  long long samples_ = 0;
};

}  // namespace evenfeed
