// SPDX-License-Identifier: MIT
// Whether this machine measures pictures as fast as a camera sends them: tried
// on a second of film that is rendered for it.
#pragma once

#include "cli/wanted_size.h"

namespace evenfeed {

struct SpeedTrial {
  WantedSize size;
  double rate_hz = 0;
  int frames = 0;
  double wall_s = 0;  ///< from the first picture asked for to the last measured
  double processor_s = 0;  ///< of all processors together
  int processors = 1;
  double film_bytes = 0;

  /// How many times as fast as the camera.
  [[nodiscard]] double times() const;
  /// Of all processors, while it keeps the camera's pace; above 1: it cannot.
  [[nodiscard]] double share() const;
};

/// Decoding, detector and engine as 'live' has them, on two feeds in flight.
/// Throws InputError when the second cannot be rendered or written.
[[nodiscard]] SpeedTrial try_speed(const WantedSize& size, double rate_hz);

}  // namespace evenfeed
