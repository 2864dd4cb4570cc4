// SPDX-License-Identifier: MIT
// A filter of second order with Butterworth's quality, high or low pass:
//
//   y_n = b0 x_n + b1 x_(n-1) + b2 x_(n-2) - a1 y_(n-1) - a2 y_(n-2)
//
// by the bilinear transform with the corner prewarped (standard; from memory).
// Precondition: 0 < corner < rate / 2.
#pragma once

#include <cmath>
#include <numbers>

namespace evenfeed {

class Biquad {
 public:
  enum class Pass { kHigh, kLow };

  Biquad(Pass pass, double corner_hz, double rate_hz) {
    const double k = std::tan(std::numbers::pi * corner_hz / rate_hz);
    const double scale = 1 / (1 + std::numbers::sqrt2 * k + k * k);
    b0_ = (pass == Pass::kHigh ? 1 : k * k) * scale;
    b1_ = (pass == Pass::kHigh ? -2 : 2) * b0_;
    a1_ = 2 * (k * k - 1) * scale;
    a2_ = (1 - std::numbers::sqrt2 * k + k * k) * scale;
  }

  double operator()(double x) {
    const double y = b0_ * x + s1_;
    s1_ = b1_ * x - a1_ * y + s2_;
    s2_ = b0_ * x - a2_ * y;
    return y;
  }

 private:
  double b0_ = 0, b1_ = 0, a1_ = 0, a2_ = 0;
  double s1_ = 0, s2_ = 0;
};

}  // namespace evenfeed
