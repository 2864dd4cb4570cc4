// SPDX-License-Identifier: MIT
// Is what was fitted as one ball two of them?
#include "detection/plane_detector.h"
#include "detection/streak_patch.h"
#include "detection/touching_balls.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace evenfeed {

// Two balls that touch fit one badly, cover more than one does, and send more
// light: a single streak drawn through both is as bright as both together. In
// the colour planes, whose compression leaves a tenth of the contrast, that
// spares most balls the look for a second.
bool PlaneDetector::may_be_two(const Candidate& candidate,
                               const StreakFit& one) const {
  constexpr double kLeastCovered = 1.15;  // discs
  constexpr double kLeastRadius_px = 3;   // to tell two from a smear
  constexpr double kLeastLight = 1.25;    // of one ball's
  const double radius_px = candidate.start.radius_px;
  if (!ball_brightness_.known() || radius_px < kLeastRadius_px) return false;
  if (one.converged && (one.rms < kFitsWell * std::abs(one.contrast) ||
                        light_of(one) < kLeastLight)) {
    return false;
  }
  return candidate.pixels >
         kLeastCovered * std::numbers::pi * radius_px * radius_px;
}

// What it sends, in balls as they usually are.
double PlaneDetector::light_of(const StreakFit& one) const {
  return one.contrast /
         (ball_brightness_.mean() - light_behind(one.streak.centre_px));
}

// Of a small ball's few pixels that cannot be told.
bool PlaneDetector::as_bright_as_two(const Candidate& candidate,
                                     const StreakFit& one) const {
  constexpr double kLeastRadius_px = 5;
  constexpr double kLeastLight = 1.35;
  return may_be_two(candidate, one) &&
         one.streak.radius_px >= kLeastRadius_px && light_of(one) > kLeastLight;
}

std::optional<std::array<StreakFit, 2>> PlaneDetector::two_balls(
    const cv::Mat& plane,
    const Candidate& candidate,
    const StreakFit& one) const {
  // Two balls leave 0.01 to 0.05 of the squares that one leaves in the films of
  // tests/bench/worlds, and what is not two leaves 0.45 and more.
  constexpr double kMostLeft = 0.2, kMostLeftOfAll = 0.03;
  if (!may_be_two(candidate, one)) return std::nullopt;
  Streak start = candidate.start;
  start.outline = scale_.outline(start.centre_px);
  const double behind = level_behind(start.centre_px);
  const double brightness =
      tone_.light(static_cast<float>(candidate.step + behind));
  const auto starts = part_in_two(
      patch_of(plane, background_, tone_, window_around(start, plane)),
      start,
      brightness - tone_.light(static_cast<float>(behind)));
  if (!starts) return std::nullopt;
  const cv::Rect window =
      window_around((*starts)[0], plane) | window_around((*starts)[1], plane);
  const TouchingFit fit =
      fit_touching(patch_of(plane, background_, tone_, window),
                   *starts,
                   one.converged ? std::optional(one.streak) : std::nullopt,
                   brightness,
                   shade_for(start, brightness, candidate.step),
                   options_for(candidate.limits));
  if (!fit.converged() ||
      fit.left_part > (one.converged ? kMostLeft : kMostLeftOfAll) ||
      !as_two(candidate, fit)) {
    return std::nullopt;
  }
  return fit.balls;
}

// A ball caught while it bounces fits one streak badly too, but its light is
// shared between both ways: two balls are each as bright as any.
bool PlaneDetector::as_two(const Candidate& candidate,
                           const TouchingFit& fit) const {
  constexpr double kLeastBright = 0.7;  // of the usual step
  constexpr double kLeastApart = 0.6;   // diameters
  const Streak& first = fit.balls[0].streak;
  const Streak& second = fit.balls[1].streak;
  if ((first.centre_px - second.centre_px).norm() <
      kLeastApart * (first.radius_px + second.radius_px)) {
    return false;
  }
  DetectorCounts none;
  return std::all_of(
      fit.balls.begin(), fit.balls.end(), [&](const StreakFit& ball) {
        Candidate alone = candidate;
        alone.limits = scale_.at(ball.streak.centre_px);
        const double behind = light_behind(ball.streak.centre_px);
        const double sign = candidate.step > 0 ? 1 : -1;
        return accept(alone, ball, none) &&
               sign * (ball.brightness - behind) >
                   kLeastBright * sign * (ball_brightness_.mean() - behind);
      });
}

}  // namespace evenfeed
