// SPDX-License-Identifier: MIT
#include "detection/tone_curve.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

void ToneOptions::check() const {
  require_in_range(gamma, 1, 4, "gamma");
  require_in_range(black_level, 0, 64, "black_level");
  require_in_range(white_level, 128, 255, "white_level");
}

ToneCurve::ToneCurve(const ToneOptions& options) : options_(options) {
  options_.check();
  for (std::size_t i = 0; i < light_.size(); ++i) {
    const double part = (static_cast<double>(i) - options_.black_level) /
                        (options_.white_level - options_.black_level);
    light_[i] =
        static_cast<float>(255 * std::pow(std::max(part, 0.0), options_.gamma));
  }
}

float ToneCurve::light(float level) const {
  const float inside = std::clamp(level, 0.0F, 255.0F);
  const auto below = static_cast<std::size_t>(inside);
  const float part = inside - static_cast<float>(below);
  return light_[below] + part * (light_[below + 1] - light_[below]);
}

float ToneCurve::slope(float level) const {
  const auto below = static_cast<std::size_t>(std::clamp(level, 0.0F, 255.0F));
  return light_[below + 1] - light_[below];
}

double ToneCurve::level(double light) const {
  const double part = std::pow(std::max(light, 0.0) / 255, 1 / options_.gamma);
  return options_.black_level +
         part * (options_.white_level - options_.black_level);
}

}  // namespace evenfeed
