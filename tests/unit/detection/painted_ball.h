// SPDX-License-Identifier: MIT
// A ball painted by brute force, for tests of detection: many points per pixel
// and many instants per exposure, a Lambert sphere in one-sided light.
#pragma once

#include "base/random.h"

#include <cmath>
#include <random>

#include <Eigen/Core>
#include <opencv2/core.hpp>

namespace evenfeed {

struct PaintedBall {
  Eigen::Vector2d centre_px{40, 30};
  Eigen::Vector2d streak_px{0, 0};
  double radius_px = 8;
  double brightness = 220;         ///< of its brightest point
  double ambient = 1;              ///< part of the light without direction
  Eigen::Vector3d light{0, 0, 1};  ///< unit, u right, v down, towards the eye
};

/// Adds the ball to a CV_32FC1 picture.
inline void paint(cv::Mat& picture, const PaintedBall& ball) {
  constexpr int kFine = 4;
  const double length = ball.streak_px.norm();
  const int instants = 1 + static_cast<int>(std::ceil(length * 4));
  const cv::Mat background = picture.clone();
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      const Eigen::Vector2d away = Eigen::Vector2d(u, v) - ball.centre_px;
      if (away.norm() > length / 2 + ball.radius_px + 2) continue;
      double sum = 0;
      for (int k = 0; k < instants; ++k) {
        const double t = (k + 0.5) / instants - 0.5;
        for (int i = 0; i < kFine * kFine; ++i) {
          const Eigen::Vector2d fine((i % kFine + 0.5) / kFine - 0.5,
                                     (i / kFine + 0.5) / kFine - 0.5);
          const Eigen::Vector2d d =
              (away + fine - t * ball.streak_px) / ball.radius_px;
          const double r2 = d.squaredNorm();
          if (r2 >= 1) {
            sum += background.at<float>(v, u);
            continue;
          }
          const Eigen::Vector3d normal(d.x(), d.y(), std::sqrt(1 - r2));
          const double lit = std::max(0.0, normal.dot(ball.light));
          sum += ball.brightness * (ball.ambient + (1 - ball.ambient) * lit);
        }
      }
      picture.at<float>(v, u) =
          static_cast<float>(sum / (instants * kFine * kFine));
    }
  }
}

/// Noise of standard deviation `sigma`, then 8 bits.
inline cv::Mat developed(const cv::Mat& picture,
                         double sigma,
                         RandomEngine& random) {
  std::normal_distribution<double> noise(0, 1);
  cv::Mat luma(picture.size(), CV_8UC1);
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      luma.at<std::uint8_t>(v, u) = cv::saturate_cast<std::uint8_t>(
          picture.at<float>(v, u) + sigma * noise(random));
    }
  }
  return luma;
}

}  // namespace evenfeed
