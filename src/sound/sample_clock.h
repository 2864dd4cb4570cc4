// SPDX-License-Identifier: MIT
// Times of sound by its stamps and by counting: see sound_source.h.
#pragma once

namespace evenfeed {

class SampleClock {
 public:
  struct Reading {
    double t_s = 0;
    bool continues = false;
  };

  /// `tick_s`: the step of the container's clock.
  explicit SampleClock(double tick_s) : gap_s_(kGap_s + 2 * tick_s) {}

  /// A block of `duration_s` stamped `stamp_s`.
  Reading stamped(double stamp_s, double duration_s);
  /// One without a stamp, right behind the last.
  Reading unstamped(double duration_s);

 private:
  /// A lost packet is 20 ms; what stamps are off by is less.
  static constexpr double kGap_s = 0.008;
  static constexpr double kSlow_s = 10;  ///< how slowly stamps are followed

  double gap_s_;
  double next_s_ = 0;
  int blocks_ = 0;  ///< since the last gap
};

}  // namespace evenfeed
