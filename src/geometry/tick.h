// SPDX-License-Identifier: MIT
// What sound hands to the flight fit: never a sample of it.
#pragma once

#include <array>

namespace evenfeed {

/// A short, hard sound: a ball that meets something, or what sounds like it.
struct Tick {
  /// When its onset reached the microphone, s after the film's first picture,
  /// by the sound's own clock.
  double t_s = 0;
  double sigma_s = 0;      ///< standard uncertainty of t_s
  double strength_db = 0;  ///< its loudest moment over the hall just before
  /// Shares of its energy below 3 kHz, from there to 7.5 kHz, and above.
  std::array<double, 3> band_share{};
};

}  // namespace evenfeed
