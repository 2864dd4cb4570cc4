// SPDX-License-Identifier: MIT
// What can be set about finding balls, and what is counted.
#pragma once

#include "detection/background.h"
#include "detection/picture_region.h"
#include "detection/streak_fit.h"
#include "detection/tone_curve.h"

namespace evenfeed {

enum class BallShade { kBrighter, kDarker };

struct DetectorOptions {
  BallShade shade = BallShade::kBrighter;  ///< than what lies behind the ball
  bool use_colour = true;                  ///< look at the colour planes too
  BackgroundOptions background;
  RegionMargins margins;  ///< around the table; with a camera only
  ToneOptions tone;
  StreakFitOptions fit;
  double least_contrast = 8;         ///< grey levels of a fitted ball
  double least_colour_contrast = 6;  ///< levels of a colour plane
  double most_misfit = 0.3;          ///< residual rms, as part of the contrast
  double most_hidden = 0.15;         ///< part of the disc; beyond it: cut off
  double most_speed_mps = 25;        ///< limits the streak; with a camera only
  double size_tolerance = 0.3;       ///< of the expected diameter
  /// Without a camera: what counts as a ball.
  double least_diameter_px = 8;
  double most_diameter_px = 70;
  double sigma_floor_px = 0.03;  ///< no sighting is called better than this
  /// Doubt of the middle of a ball that is lit from one side, in radii, where
  /// the light from the side is as strong as the ball's contrast; it grows with
  /// the eighth power. Measured in films with random light
  /// (tests/bench/worlds) and with the light of the shipped scenes.
  double shade_doubt = 0.1;
  /// Neighbouring residuals of a compressed film go together, which the fit's
  /// covariance does not know; its standard deviation is multiplied by this.
  double sigma_factor = 1.0;
  void check() const;
};

/// What became of everything that changed; counts over all frames and planes.
struct DetectorCounts {
  long frames = 0;
  long areas = 0;
  long candidates = 0;
  long sightings = 0;
  long colour_only = 0;  ///< of them, not seen in the brightness
  long too_large = 0;    ///< pieces larger than any streak
  long too_small = 0;    ///< candidates smaller than any ball
  long no_fit = 0;       ///< the fit did not converge
  long wrong_size = 0;   ///< fitted size or streak outside the limits
  long faint = 0;        ///< fitted contrast too low or of the wrong sign
  long misfit = 0;       ///< does not look like a swept disc
  long crowded = 0;      ///< nearly everything changed: plane given up

  DetectorCounts& operator+=(const DetectorCounts& other);
};

}  // namespace evenfeed
