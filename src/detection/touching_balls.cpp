// SPDX-License-Identifier: MIT
#include "detection/touching_balls.h"

#include "detection/streak_model.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <Eigen/Eigenvalues>

namespace evenfeed {
namespace {

struct Weighted {
  Eigen::Vector2d at_px;
  double weight = 0;
};

// The pixels that changed, each by no more than a part of the step, so that
// the outline weighs more than the shading.
std::vector<Weighted> changed_pixels(const StreakPatch& patch, double step) {
  constexpr double kLeast = 0.3, kMost = 0.6;  // of the step
  std::vector<Weighted> changed;
  for (int row = 0; row < patch.seen.rows; ++row) {
    const auto* seen = patch.seen.ptr<float>(row);
    const auto* expected = patch.expected.ptr<float>(row);
    for (int column = 0; column < patch.seen.cols; ++column) {
      const double part =
          static_cast<double>(seen[column] - expected[column]) / step;
      if (part < kLeast) continue;
      changed.push_back(
          {Eigen::Vector2d(patch.origin.x + column, patch.origin.y + row),
           std::min(part, kMost)});
    }
  }
  return changed;
}

Eigen::Vector2d mean_of(const std::vector<Weighted>& pixels) {
  Eigen::Vector2d sum = Eigen::Vector2d::Zero();
  double weights = 0;
  for (const Weighted& pixel : pixels) {
    sum += pixel.weight * pixel.at_px;
    weights += pixel.weight;
  }
  return sum / weights;
}

// The way in which they lie farthest apart, as far as they spread.
Eigen::Vector2d spread_of(const std::vector<Weighted>& pixels,
                          const Eigen::Vector2d& mean) {
  Eigen::Matrix2d square = Eigen::Matrix2d::Zero();
  double weights = 0;
  for (const Weighted& pixel : pixels) {
    const Eigen::Vector2d off = pixel.at_px - mean;
    square += pixel.weight * off * off.transpose();
    weights += pixel.weight;
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(square / weights);
  return std::sqrt(std::max(axes.eigenvalues()(1), 0.0)) *
         axes.eigenvectors().col(1);
}

StreakPatch with_ball(const StreakPatch& patch, const Streak& ball) {
  StreakPicture picture;
  picture.render(patch, ball, sweep_steps(ball));
  StreakPatch with = patch;
  with.expected = cv::Mat(patch.seen.size(), CV_32FC1);
  for (int row = 0; row < patch.seen.rows; ++row) {
    std::copy_n(picture.value.data() + static_cast<long>(row) * patch.seen.cols,
                patch.seen.cols,
                with.expected.ptr<float>(row));
  }
  return with;
}

double squares_left(const StreakPatch& patch) {
  double sum = 0;
  for (int row = 0; row < patch.seen.rows; ++row) {
    const auto* seen = patch.seen.ptr<float>(row);
    const auto* expected = patch.expected.ptr<float>(row);
    for (int column = 0; column < patch.seen.cols; ++column) {
      const auto left = static_cast<double>(seen[column] - expected[column]);
      sum += left * left;
    }
  }
  return sum;
}

}  // namespace

std::optional<StreakPair> part_in_two(const StreakPatch& patch,
                                      const Streak& one,
                                      double step) {
  constexpr int kRounds = 8;
  constexpr std::size_t kFewest = 20;  // px
  const std::vector<Weighted> changed = changed_pixels(patch, step);
  if (changed.size() < kFewest) return std::nullopt;
  const Eigen::Vector2d mean = mean_of(changed);
  const Eigen::Vector2d spread = spread_of(changed, mean);
  std::array<Eigen::Vector2d, 2> centres{mean - spread, mean + spread};
  for (int round = 0; round < kRounds; ++round) {
    std::array<std::vector<Weighted>, 2> parts;
    for (const Weighted& pixel : changed) {
      const bool second = (pixel.at_px - centres[1]).squaredNorm() <
                          (pixel.at_px - centres[0]).squaredNorm();
      parts[second ? 1 : 0].push_back(pixel);
    }
    if (parts[0].empty() || parts[1].empty()) return std::nullopt;
    centres = {mean_of(parts[0]), mean_of(parts[1])};
  }
  StreakPair pair{one, one};
  for (std::size_t i = 0; i < 2; ++i) {
    pair[i].centre_px = centres[i];
    pair[i].half_px = Eigen::Vector2d(0.5, 0);
  }
  return pair;
}

TouchingFit fit_touching(const StreakPatch& patch,
                         const StreakPair& starts,
                         const std::optional<Streak>& one,
                         double brightness,
                         const ShadePrior& shade,
                         const StreakFitOptions& options) {
  constexpr int kTurns = 4;
  TouchingFit fit;
  StreakPair now = starts;
  for (Streak& ball : now) {  // until it is fitted, evenly lit
    ball.ambient = brightness;
    ball.lamp.setZero();
    ball.edge_px = shade.edge_px;
  }
  for (int turn = 0; turn < kTurns; ++turn) {
    for (std::size_t i = 0; i < 2; ++i) {
      Streak start = now[i];
      start.radius_px = starts[i].radius_px;
      fit.balls[i] =
          fit_streak(with_ball(patch, now[1 - i]),
                     start,
                     brightness,
                     shade,
                     options,
                     turn > 0 ? std::optional(now[i]) : std::nullopt);
      // While the other is still far off, a fit may go nowhere.
      if (fit.balls[i].converged) now[i] = fit.balls[i].streak;
    }
  }
  if (!fit.converged()) return fit;
  const double alone = squares_left(one ? with_ball(patch, *one) : patch);
  const double both = squares_left(with_ball(with_ball(patch, now[0]), now[1]));
  fit.left_part = alone > 0 ? both / alone : 1;
  return fit;
}

}  // namespace evenfeed
