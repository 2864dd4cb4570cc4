// SPDX-License-Identifier: MIT
// Balls in one plane of a film, brightness or a colour difference: background,
// changes, candidates, fit.
#pragma once

#include "detection/background.h"
#include "detection/ball_scale.h"
#include "detection/candidate_finder.h"
#include "detection/change_finder.h"
#include "detection/detector_options.h"
#include "detection/shade_memory.h"
#include "detection/tone_curve.h"
#include "detection/touching_balls.h"
#include "geometry/sighting.h"

#include <array>
#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

enum class PlaneKind { kBrightness, kColour };

/// What two planes show within this is one ball.
inline double ball_reach_px(const Sighting& seen) {
  return 0.6 * seen.diameter_px + seen.streak_px.norm() / 4;
}

/// What the brightness showed of a frame, to look at its colours by.
struct BrightLook {
  std::vector<Sighting> seen;
  /// Of them those that show what a ball's colour is.
  std::vector<Sighting> well;
  /// Of them those that colours need not look at again.
  std::vector<Sighting> enough;
};

class PlaneDetector {
 public:
  /// `region` and `scale` in the plane's own pixels.
  PlaneDetector(const DetectorOptions& options,
                PlaneKind kind,
                const BallScale& scale,
                const PictureRegion& region);

  void learn(const std::vector<cv::Mat>& stills);
  bool learned() const { return background_.learned(); }

  /// Sightings in picture pixels, without time and frame number, surest first.
  /// Of a colour plane `bright` is what the brightness showed: a ball it has
  /// seen well enough and that stands out less here is left out.
  std::vector<Sighting> detect(const cv::Mat& plane,
                               double t_s,
                               DetectorCounts& counts,
                               const BrightLook& bright = {});

  const Background& background() const { return background_; }

 private:
  static constexpr double kFitsWell = 0.08;  // residual, of the contrast

  void gather(const cv::Mat& plane, DetectorCounts& counts);
  void keep_clearest(DetectorCounts& counts);
  bool too_small(const ChangedArea& area) const;
  bool worth_a_look(const Candidate& candidate, const BrightLook& bright) const;
  bool unlike_balls(const Candidate& candidate) const;
  bool worth_a_fit(const Candidate& candidate, DetectorCounts& counts) const;
  StreakFit fit(const cv::Mat& plane, const Candidate& candidate) const;
  StreakFitOptions options_for(const BallLimits& limits) const;
  StreakFit fit_in(const cv::Mat& plane,
                   const Streak& start,
                   double brightness,
                   const ShadePrior& shade,
                   const BallLimits& limits,
                   const std::optional<Streak>& from = std::nullopt) const;
  double light_of(const StreakFit& one) const;
  bool may_be_two(const Candidate& candidate, const StreakFit& one) const;
  bool as_bright_as_two(const Candidate& candidate, const StreakFit& one) const;
  std::optional<std::array<StreakFit, 2>> two_balls(const cv::Mat& plane,
                                                    const Candidate& candidate,
                                                    const StreakFit& one) const;
  bool as_two(const Candidate& candidate, const TouchingFit& fit) const;
  Eigen::Vector2d centre_in_picture(const Streak& streak) const;
  double level_behind(const Eigen::Vector2d& at_px) const;
  double light_behind(const Eigen::Vector2d& at_px) const;
  bool accept(const Candidate& candidate,
              const StreakFit& fit,
              DetectorCounts& counts) const;
  void remember(const StreakFit& fit);
  void remember_colour(const StreakFit& fit, const BrightLook& bright);
  double shade_doubt_px(const StreakFit& fit) const;
  Sighting sighting(const cv::Mat& plane, const StreakFit& fit) const;
  double step_in_levels(const StreakFit& fit) const;
  ShadePrior shade_for(const Streak& start,
                       double brightness,
                       double step) const;

  DetectorOptions options_;
  PlaneKind kind_;
  BallScale scale_;
  ToneCurve tone_;
  Background background_;
  std::vector<double> least_diameters_px_;  // by band of cells
  ChangeFinder changes_;
  std::vector<CandidateFinder> finders_;
  ShadeMemory shades_;
  BrightnessMemory ball_brightness_;
  std::vector<Candidate> candidates_;
};

}  // namespace evenfeed
