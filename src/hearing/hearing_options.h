// SPDX-License-Identifier: MIT
// What is believed of a film's sound before any of it is matched.
#pragma once

namespace evenfeed {

struct HearingOptions {
  /// In dry air of 20 degrees Celsius (speed_of_sound_mps()).
  double speed_of_sound_mps = 343.2;
  /// Sound that is late against the picture: sd of what is usual, and the most
  /// that is looked for (common practice, no source: players allow some tenths
  /// of a second).
  double offset_sd_s = 0.1;
  double most_offset_s = 0.6;
  /// The clocks of picture and sound run apart: crystals keep to some tens of
  /// millionths (common practice, no source).
  double drift_sd = 50e-6;
  double most_drift = 150e-6;
  /// The share of the ticks taken for a feed's that may be another's.
  double most_wrong = 1e-3;
  /// Fewer that agree, in number or of all expected, are no agreement.
  int fewest = 8;
  double least_share = 0.3;
  /// How much likelier than chance, and than any other offset, the offset must
  /// be: in nats.
  double least_gain = 10;
  /// Ticks that only go with the bounces (launcher, sample) scatter about them
  /// by more than sight and sound state. Twice the stated sigmas may be
  /// likelier by this for each tick heard: so much is gained by a scatter of
  /// 1.5 times the stated one.
  double most_gain_of_twice = 0.1;
  void check() const;
};

/// 331.3 m/s sqrt(1 + t / 273.15): an ideal gas of dry air (standard; from
/// memory). Between 0 and 100 % of humidity it differs by 0.4 % at 20 degrees.
double speed_of_sound_mps(double celsius);

}  // namespace evenfeed
