// SPDX-License-Identifier: MIT
#include "detection/cast_shadow.h"

#include "detection/streak_model.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

// How far a pixel lies outside the swept disc, px; negative inside.
double outside_px(const Streak& ball, const Eigen::Vector2d& x) {
  const Eigen::Vector2d from = x - ball.centre_px;
  const double length2 = ball.half_px.squaredNorm();
  const double t =
      length2 > 0 ? std::clamp(from.dot(ball.half_px) / length2, -1.0, 1.0) : 0;
  const Eigen::Vector2d e = ball.outline * (from - t * ball.half_px);
  return e.norm() - ball.radius_px;
}

// How much of the light is left at the pixels the ball leaves free; negative
// elsewhere. The rim of the soft edge counts as free: what little of a bright
// ball it holds hides less of the shadow than a wider gap leaves unknown.
cv::Mat light_left(const Streak& ball, const StreakPatch& patch) {
  constexpr double kRim_px = 0.5;
  constexpr float kNoise = 2;  // sd; what is brighter is the ball
  cv::Mat left(patch.seen.size(), CV_32FC1, cv::Scalar(-1));
  for (int row = 0; row < left.rows; ++row) {
    const auto* seen = patch.seen.ptr<float>(row);
    const auto* expected = patch.expected.ptr<float>(row);
    const auto* sigma = patch.sigma.ptr<float>(row);
    for (int column = 0; column < left.cols; ++column) {
      const Eigen::Vector2d x(patch.origin.x + column, patch.origin.y + row);
      if (outside_px(ball, x) < ball.edge_px - kRim_px) continue;
      const float light = std::max(expected[column], 1e-3F);
      left.at<float>(row, column) = std::clamp(
          seen[column] / light, 0.F, 1 + kNoise * sigma[column] / light);
    }
  }
  return left;
}

bool is_shaded(const cv::Mat& left, const StreakPatch& patch) {
  constexpr float kSigmas = 4;
  constexpr float kLeastShade = 0.04F;  // of the light
  constexpr double kLeastPart = 0.08;   // of the free pixels
  int shaded = 0;
  int free = 0;
  for (int row = 0; row < left.rows; ++row) {
    for (int column = 0; column < left.cols; ++column) {
      const float part = left.at<float>(row, column);
      if (part < 0) continue;
      ++free;
      const float noise =
          patch.sigma.at<float>(row, column) /
          std::max(patch.expected.at<float>(row, column), 1e-3F);
      shaded += 1 - part > std::max(kLeastShade, kSigmas * noise);
    }
  }
  return shaded > kLeastPart * free;
}

constexpr int kNear_px = 5;

// By which a neighbour counts, across and down from 0 to kNear_px.
constexpr auto kNearness = [] {
  std::array<std::array<float, kNear_px + 1>, kNear_px + 1> table{};
  for (std::size_t v = 0; v <= kNear_px; ++v) {
    for (std::size_t u = 0; u <= kNear_px; ++u) {
      const auto d2 = static_cast<float>(u * u + v * v);
      table[v][u] = 1 / ((1 + d2) * (1 + d2));
    }
  }
  return table;
}();

float light_left_near(const cv::Mat& left, int row, int column) {
  float sum = 0;
  float weights = 0;
  for (int v = std::max(0, row - kNear_px);
       v <= std::min(left.rows - 1, row + kNear_px);
       ++v) {
    const auto* free = left.ptr<float>(v);
    const auto& nearness =
        kNearness[static_cast<std::size_t>(std::abs(v - row))];
    for (int u = std::max(0, column - kNear_px);
         u <= std::min(left.cols - 1, column + kNear_px);
         ++u) {
      if (free[u] < 0 || (u == column && v == row)) continue;
      const float weight =
          nearness[static_cast<std::size_t>(std::abs(u - column))];
      sum += weight * free[u];
      weights += weight;
    }
  }
  return weights > 0 ? sum / weights : 1;
}

cv::Mat with_shadow(const cv::Mat& left, const StreakPatch& lit) {
  cv::Mat shadowed = lit.expected.clone();
  for (int row = 0; row < left.rows; ++row) {
    auto* expected = shadowed.ptr<float>(row);
    for (int column = 0; column < left.cols; ++column) {
      expected[column] *= light_left_near(left, row, column);
    }
  }
  return shadowed;
}

}  // namespace

// A thin shadow on a brightly lit table darkens hardly a pixel beside the ball
// and moved its middle by a pixel and more: whether there is one, the fit
// tells.
std::optional<StreakFit> fit_beside_shadow(const StreakFit& fit,
                                           const StreakPatch& lit,
                                           double radius_px,
                                           double brightness,
                                           const ShadePrior& shade,
                                           const StreakFitOptions& options) {
  constexpr double kClean = 0.5;  // cost a pixel: nothing is left to explain
  constexpr double kToldByFit_px = 5;
  if (fit.cost < kClean * fit.pixels) return std::nullopt;

  const bool told_by_fit = fit.streak.radius_px >= kToldByFit_px;
  const cv::Mat left = light_left(fit.streak, lit);
  if (!told_by_fit && !is_shaded(left, lit)) return std::nullopt;
  StreakPatch shadowed = lit;
  shadowed.expected = with_shadow(left, lit);
  Streak start = fit.streak;
  start.radius_px = radius_px;
  const StreakFit again =
      fit_streak(shadowed, start, brightness, shade, options, fit.streak);
  if (!again.converged) return std::nullopt;
  if (told_by_fit && again.cost >= fit.cost) return std::nullopt;
  return again;
}

}  // namespace evenfeed
