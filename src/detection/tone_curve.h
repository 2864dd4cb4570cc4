// SPDX-License-Identifier: MIT
// From the grey levels a camera stores to the light that made them. A pixel
// half covered by a ball has half its light, not half its grey level: a fit in
// grey levels sees every ball too large, and a ball that is brighter on one
// side shifted to that side.
//
//   light = 255 ((level - black) / (white - black))^gamma
//
// gamma 2.2 undoes the usual tone curve nearly enough (ITU-R BT.1886 has 2.4
// for displays, BT.709 cameras come out near 1.9 to 2.2); black 16 and white
// 235 are the ends of the video range.
#pragma once

#include <array>

namespace evenfeed {

struct ToneOptions {
  double gamma = 2.2;  ///< 1: fit in grey levels
  double black_level = 16;
  double white_level = 235;
  void check() const;
};

class ToneCurve {
 public:
  explicit ToneCurve(const ToneOptions& options);

  /// Light of a level 0..255, which need not be whole.
  float light(float level) const;
  /// d light / d level there.
  float slope(float level) const;
  /// The level of a light; the inverse of light().
  double level(double light) const;

 private:
  ToneOptions options_;
  std::array<float, 257> light_{};
};

}  // namespace evenfeed
