// SPDX-License-Identifier: MIT
// Frames to sightings: background, changes, candidates, fit. One frame at a
// time, in order; the same frames give the same sightings.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/sighting.h"
#include "geometry/surface.h"
#include "vision/background.h"
#include "vision/ball_scale.h"
#include "vision/frame.h"
#include "vision/picture_region.h"
#include "vision/streak_fit.h"
#include "vision/tone_curve.h"
#include "vision/video_source.h"

#include <memory>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

enum class BallShade { kBrighter, kDarker };

struct DetectorOptions {
  BallShade shade = BallShade::kBrighter;  ///< than what lies behind the ball
  BackgroundOptions background;
  RegionMargins margins;  ///< around the table; with a camera only
  ToneOptions tone;
  StreakFitOptions fit;
  double least_contrast = 8;    ///< grey levels of a fitted ball
  double most_misfit = 0.3;     ///< residual rms, as part of the contrast
  double most_hidden = 0.15;    ///< part of the disc; beyond it: cut off
  double most_speed_mps = 25;   ///< limits the streak; with a camera only
  double size_tolerance = 0.3;  ///< of the expected diameter
  /// Without a camera: what counts as a ball.
  double least_diameter_px = 8;
  double most_diameter_px = 70;
  double sigma_floor_px = 0.03;  ///< no sighting is called better than this
  /// Neighbouring residuals of a compressed film go together, which the fit's
  /// covariance does not know; its standard deviation is multiplied by this.
  double sigma_factor = 1.0;
  void check() const;
};

/// What became of everything that changed; counts over all frames.
struct DetectorCounts {
  long frames = 0;
  long areas = 0;
  long candidates = 0;
  long sightings = 0;
  long too_large = 0;       ///< pieces larger than any streak
  long too_small = 0;       ///< candidates smaller than any ball
  long no_fit = 0;          ///< the fit did not converge
  long wrong_size = 0;      ///< fitted size or streak outside the limits
  long faint = 0;           ///< fitted contrast too low or of the wrong sign
  long misfit = 0;          ///< does not look like a swept disc
  long crowded_frames = 0;  ///< nearly everything changed: frame given up
};

class BallDetector {
 public:
  /// Without a camera: the whole picture, sizes from the options, times at the
  /// frame's own stamp.
  BallDetector(const DetectorOptions& options, int width_px, int height_px);
  /// Only what lies over the table is looked at; sizes from the line of sight.
  BallDetector(const DetectorOptions& options,
               const CameraModel& camera,
               const Surface& surface,
               const Ball& ball);
  ~BallDetector();
  BallDetector(BallDetector&&) noexcept;
  BallDetector& operator=(BallDetector&&) noexcept;

  /// The background from still pictures of the start of the film (see
  /// opening_stills). Without it the first frame detect() sees is taken, and a
  /// ball in it leaves a hole for a few seconds.
  void learn(const std::vector<cv::Mat>& stills);

  /// The sightings in this frame, left to right.
  std::vector<Sighting> detect(const Frame& frame);

  const DetectorCounts& counts() const;
  const PictureRegion& region() const;
  const Background& background() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// Still pictures of the first two seconds (less of a short film), enough for
/// a median that balls in flight do not show in.
std::vector<cv::Mat> opening_stills(const std::filesystem::path& film,
                                    const VideoOptions& options = {});

/// Throws InputError when the film's picture is not the size the bench was
/// calibrated with.
void require_same_picture(const VideoInfo& film, const CameraModel& camera);

}  // namespace evenfeed
