// SPDX-License-Identifier: MIT
// Invented frames for tests of detection: a plain table with white lines,
// noise, a ball painted by brute force, stored as a camera stores light.
#pragma once

#include "detection/ball_detector.h"
#include "film/frame.h"
#include "unit/detection/painted_ball.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <random>

namespace evenfeed {

class Filming {
 public:
  static constexpr int kWidth = 200, kHeight = 120;
  double noise = 1.5;                       ///< grey levels
  std::function<double(int row)> lighting;  ///< 1 when not set
  double ball_blue = 0, ball_red = 0;       ///< colour against the table's
  std::optional<PaintedBall> other_ball;    ///< in the brightness only
  /// Of the colour planes against the brightness, as some files have them.
  Eigen::Vector2d colour_off_px = Eigen::Vector2d::Zero();
  /// How far, per axis, coding moves a ball in each colour plane of a frame, as
  /// a whole: its edges stay sharp.
  double colour_strays_px = 0;

  /// Light of the table; a white line runs down columns 96 to 103.
  static float light_behind(int u, int v) {
    return u >= 96 && u < 104 ? 200.0F : 40.0F + 0.05F * u + 0.1F * v;
  }

  /// The next frame, 1/60 s after the last.
  Frame frame(const std::optional<PaintedBall>& ball,
              double shadow = 1,
              const Eigen::Vector2d& shadow_px = {0, 0}) {
    cv::Mat light(kHeight, kWidth, CV_32FC1);
    for (int v = 0; v < kHeight; ++v) {
      for (int u = 0; u < kWidth; ++u) {
        const bool dark =
            (Eigen::Vector2d(u, v) - shadow_px).norm() < 9 && shadow < 1;
        light.at<float>(v, u) =
            light_behind(u, v) * static_cast<float>(dark ? shadow : 1);
      }
    }
    if (ball) paint(light, *ball);
    if (other_ball) paint(light, *other_ball);
    for (int v = 0; v < kHeight; ++v) {
      const double bright = lighting ? lighting(v) : 1;
      for (int u = 0; u < kWidth; ++u) {
        light.at<float>(v, u) = stored(bright * light.at<float>(v, u));
      }
    }
    Frame frame;
    frame.index = index_;
    frame.t_s = index_++ / 60.0;
    frame.luma = developed(light, noise, random_);
    frame.blue = colour(ball, 150, ball_blue);
    frame.red = colour(ball, 110, ball_red);
    return frame;
  }

  std::vector<Frame> stills(int count = 15) {
    std::vector<Frame> stills;
    for (int i = 0; i < count; ++i) stills.push_back(frame(std::nullopt));
    index_ = 0;
    return stills;
  }

 private:
  // The tone curve of detection/tone_curve.h, written the other way round.
  static float stored(double light) {
    return static_cast<float>(
        16 + 219 * std::pow(std::clamp(light, 0.0, 255.0) / 255, 1 / 2.2));
  }

  // A pixel of a colour plane lies in the middle of four of the picture.
  cv::Mat colour(const std::optional<PaintedBall>& ball,
                 double table,
                 double step) {
    cv::Mat plane(kHeight / 2, kWidth / 2, CV_32FC1, cv::Scalar(table));
    if (ball && step != 0) {
      PaintedBall half = *ball;
      std::normal_distribution<double> stray(0, 1);
      const Eigen::Vector2d strays_px =
          colour_strays_px * Eigen::Vector2d(stray(coding_), stray(coding_));
      half.centre_px =
          ((ball->centre_px + colour_off_px + strays_px).array() - 0.5)
              .matrix() /
          2;
      half.streak_px /= 2;
      half.radius_px /= 2;
      half.brightness = table + step;
      half.ambient = 1;
      paint(plane, half);
    }
    return developed(plane, 0.5 * noise, random_);
  }

  RandomEngine random_ = derived_engine(7, "filmed ball");
  RandomEngine coding_ = derived_engine(7, "coding of colours");
  int index_ = 0;
};

inline BallDetector detector_for(Filming& filming,
                                 const DetectorOptions& options = {}) {
  BallDetector detector(options, Filming::kWidth, Filming::kHeight);
  detector.learn(filming.stills());
  return detector;
}

inline PaintedBall ball_at(double u, double v) {
  PaintedBall ball;
  ball.centre_px = {u, v};
  ball.ambient = 0.4;
  ball.light = Eigen::Vector3d(0.3, -0.4, 0.9).normalized();
  return ball;
}

// Its lower side hardly brighter than the table.
inline PaintedBall ball_lit_from_above(double u, double v) {
  PaintedBall ball = ball_at(u, v);
  ball.ambient = 0.45;
  ball.light = Eigen::Vector3d(0.1, -0.9, 0.4).normalized();
  return ball;
}

}  // namespace evenfeed
