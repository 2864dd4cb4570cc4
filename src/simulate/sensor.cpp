// SPDX-License-Identifier: MIT
#include "simulate/sensor.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

constexpr int kCurveSteps = 16384;
constexpr double kGamma = 1 / 2.2;
constexpr std::size_t kNoisePool = 1 << 20;
constexpr int kUnit = 64;        // of the fine planes
constexpr int kGainUnit = 4096;  // of row gains

std::uint16_t fine(float level) {
  return static_cast<std::uint16_t>(std::clamp(level, 0.0f, 255.0f) * kUnit +
                                    0.5f);
}

std::uint8_t to_byte(int fine_value) {
  return static_cast<std::uint8_t>(
      std::clamp((fine_value + kUnit / 2) / kUnit, 0, 255));
}

// sd of the stored level: read noise, and shot noise that grows with the root
// of the light; both in grey levels at mid grey, where the tone curve has
// slope 1 by this scale.
double noise_sd(const NuisanceOptions& nuisance, int level) {
  const double part = std::clamp((level - 16) / 219.0, 0.02, 1.0);
  const double light = std::pow(part, 1 / kGamma);
  const double mid = std::pow(0.5, 1 / kGamma);
  const double slope = std::pow(light / mid, kGamma - 1);
  const double linear = std::hypot(
      nuisance.read_noise, nuisance.shot_noise * std::sqrt(light / mid));
  // Real cameras smooth the deep shadows; their slope is held.
  return linear * std::min(slope, 2.5);
}

}  // namespace

Sensor::Sensor(const Scene& scene, std::uint64_t seed)
    : nuisance_(scene.nuisance),
      camera_(scene.camera.model),
      seed_(seed),
      curve_(kCurveSteps + 2),
      noise_(kNoisePool),
      noise_gain_(256) {
  for (std::size_t i = 0; i < curve_.size(); ++i) {
    curve_[i] = static_cast<float>(
        std::pow(static_cast<double>(i) / kCurveSteps, kGamma));
  }
  RandomEngine engine = derived_engine(seed, "sensor noise pool");
  std::normal_distribution<double> normal;
  for (std::int8_t& value : noise_) {
    value = static_cast<std::int8_t>(
        std::clamp(std::lround(32 * normal(engine)), -127L, 127L));
  }
  for (int level = 0; level < 256; ++level) {
    noise_gain_[level] =
        static_cast<int>(std::lround(512 * noise_sd(nuisance_, level)));
  }
  colour_gain_ =
      static_cast<int>(std::lround(512 * 0.6 * noise_sd(nuisance_, 126)));
  flicker_phase_ =
      std::uniform_real_distribution<double>(0, 2 * std::numbers::pi)(engine);
}

float Sensor::curve(float linear) const {
  const float place = std::clamp(linear, 0.0f, 1.0f) * kCurveSteps;
  const int low = static_cast<int>(place);
  const float part = place - static_cast<float>(low);
  return curve_[low] + part * (curve_[low + 1] - curve_[low]);
}

void Sensor::store(const cv::Mat3f& light,
                   cv::Rect rect,
                   FinePlanes& planes) const {
  // Whole colour cells of two by two.
  const cv::Point low(rect.x & ~1, rect.y & ~1);
  const cv::Point high((rect.br().x + 1) & ~1, (rect.br().y + 1) & ~1);
  rect = cv::Rect(low, high) & cv::Rect(0, 0, light.cols, light.rows);
  for (int v = rect.y; v < rect.br().y; v += 2) {
    for (int u = rect.x; u < rect.br().x; u += 2) {
      float blue = 0, red = 0;
      for (int i = 0; i < 4; ++i) {
        const int vv = v + i / 2;
        const int uu = u + i % 2;
        const cv::Vec3f& pixel = light(vv, uu);
        const float r = curve(pixel[0]);
        const float g = curve(pixel[1]);
        const float b = curve(pixel[2]);
        const float y = 0.2126f * r + 0.7152f * g + 0.0722f * b;
        planes.y(vv, uu) = fine(16 + 219 * y);
        blue += b - y;
        red += r - y;
      }
      planes.u(v / 2, u / 2) = fine(128 + 224 / 1.8556f * blue / 4);
      planes.v(v / 2, u / 2) = fine(128 + 224 / 1.5748f * red / 4);
    }
  }
}

std::vector<int> Sensor::row_gains(double t_frame_s) const {
  std::vector<int> gains(camera_.height_px, kGainUnit);
  const NuisanceOptions& n = nuisance_;
  if (n.flicker_depth <= 0 && n.exposure_swing <= 0) return gains;
  constexpr double kTurn = 2 * std::numbers::pi;
  const double half_turn =
      kTurn / 2 * n.flicker_hz * camera_.exposure_or_zero_s();
  // The mean of a sine over the exposure.
  const double kept = half_turn > 0 ? std::sin(half_turn) / half_turn : 1;
  const double swing =
      n.exposure_swing * std::sin(kTurn * t_frame_s / n.exposure_period_s);
  for (int v = 0; v < camera_.height_px; ++v) {
    const double t = camera_.mid_exposure_s(t_frame_s, v);
    const double flicker = n.flicker_depth * kept *
                           std::sin(kTurn * n.flicker_hz * t + flicker_phase_);
    const double light = std::max(0.0, (1 + flicker) * (1 + swing));
    gains[v] =
        static_cast<int>(std::lround(kGainUnit * std::pow(light, kGamma)));
  }
  return gains;
}

YuvPicture Sensor::develop(const FinePlanes& planes,
                           double t_frame_s,
                           std::uint64_t frame) const {
  const int width = camera_.width_px;
  const int height = camera_.height_px;
  YuvPicture picture{width, height, {}, {}, {}};
  picture.y.resize(static_cast<std::size_t>(width) * height);
  picture.u.resize(picture.y.size() / 4);
  picture.v.resize(picture.y.size() / 4);
  const std::vector<int> gains = row_gains(t_frame_s);
  RandomEngine engine = derived_engine(seed_, "sensor noise", frame);
  const auto noise_row = [&](int size) {
    return noise_.data() + engine() % (kNoisePool - size);
  };
  const bool quiet = nuisance_.read_noise == 0 && nuisance_.shot_noise == 0;
  for (int v = 0; v < height; ++v) {
    const std::uint16_t* from = planes.y[v];
    std::uint8_t* to = picture.y.data() + static_cast<std::size_t>(v) * width;
    const std::int8_t* noise = noise_row(width);
    const int gain = gains[v];
    for (int u = 0; u < width; ++u) {
      const int level = 16 * kUnit + (from[u] - 16 * kUnit) * gain / kGainUnit;
      const int sd = quiet ? 0 : noise_gain_[std::min(level / kUnit, 255)];
      to[u] = to_byte(level + noise[u] * sd / 256);
    }
  }
  const cv::Mat1w* colours[2] = {&planes.u, &planes.v};
  std::uint8_t* targets[2] = {picture.u.data(), picture.v.data()};
  for (int plane = 0; plane < 2; ++plane) {
    for (int v = 0; v < height / 2; ++v) {
      const std::uint16_t* from = (*colours[plane])[v];
      std::uint8_t* to =
          targets[plane] + static_cast<std::size_t>(v) * (width / 2);
      const std::int8_t* noise = noise_row(width / 2);
      const int gain = gains[2 * v];
      for (int u = 0; u < width / 2; ++u) {
        const int level =
            128 * kUnit + (from[u] - 128 * kUnit) * gain / kGainUnit;
        to[u] = to_byte(level + (quiet ? 0 : noise[u] * colour_gain_ / 256));
      }
    }
  }
  return picture;
}

}  // namespace evenfeed
