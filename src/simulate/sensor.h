// SPDX-License-Identifier: MIT
// From linear light to the 8-bit picture a camera stores: tone curve, light
// that flickers with the mains, noise, and colour at half the resolution.
//   Y' = 16 + 219 (0.2126 R' + 0.7152 G' + 0.0722 B'),  R' = R^(1/2.2)
// Source of the weights: ITU-R BT.709-6, item 3; limited range.
#pragma once

#include "base/random.h"
#include "film/yuv_picture.h"
#include "simulate/scene.h"

#include <cstdint>
#include <vector>

#include <opencv2/core.hpp>

namespace evenfeed {

/// The three planes in 1/64 of a grey level, before light changes and noise.
struct FinePlanes {
  cv::Mat1w y, u, v;
};

class Sensor {
 public:
  Sensor(const Scene& scene, std::uint64_t seed);

  /// Stores the part `rect` of the linear picture in the planes.
  void store(const cv::Mat3f& light, cv::Rect rect, FinePlanes& planes) const;
  /// The picture of one frame.
  YuvPicture develop(const FinePlanes& planes,
                     double t_frame_s,
                     std::uint64_t frame) const;

 private:
  std::vector<int> row_gains(double t_frame_s) const;
  float curve(float linear) const;

  const NuisanceOptions nuisance_;
  const CameraModel camera_;
  std::uint64_t seed_;
  double flicker_phase_ = 0;
  std::vector<float> curve_;
  std::vector<std::int8_t> noise_;  // standard normal times 32
  std::vector<int> noise_gain_;     // by grey level, times 512
  int colour_gain_ = 0;
};

}  // namespace evenfeed
