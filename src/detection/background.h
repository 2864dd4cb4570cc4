// SPDX-License-Identifier: MIT
// The still picture behind the balls: a running estimate per pixel that a
// passing ball does not move, the brightness of each frame against it, and how
// far a pixel strays from it when nothing passes.
//
//   expected(u, v) = gain(v) * mean(u, v)
//
// gain(v) follows mains flicker and exposure changes; it may vary down the
// rows, because a rolling shutter sees a flickering lamp in bands. The mean is
// revised on one row in 16 per frame: within the noise by a sixteenth of the
// difference, beyond it by a small fixed step (the running median of
// stochastic approximation: Robbins and Monro 1951). A pixel that keeps one new
// value for `settle_s` takes it at once: a ball at rest is background. All this
// goes by cells of 8 x 8 px, those that the region touches.
#pragma once

#include "detection/cell_rows.h"
#include "detection/gain_meter.h"
#include "detection/picture_region.h"

#include <array>
#include <cstdint>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BackgroundOptions {
  double threshold_sigma = 4.5;  ///< a change is beyond this many sigma ...
  double least_step = 6;         ///< ... and beyond this many grey levels
  bool follow_gain = true;       ///< of each frame; off for colour differences
  double settle_s = 3;           ///< a new value kept so long is background
  void check() const;
};

class Background {
 public:
  /// Values are kept in 1/64 grey level, differences come in 1/16 grey level.
  static constexpr int kMeanScale = 64;
  static constexpr int kStepScale = 16;
  static constexpr int kRowCycle = 16;  ///< frames until a row is seen again

  Background(const BackgroundOptions& options, PictureRegion region);

  /// Starts from the median of still pictures (at least one), each brought to
  /// the brightness of the first.
  void learn(const std::vector<cv::Mat>& stills);
  bool learned() const { return !mean_.empty(); }

  /// Measures this frame's gain. Call before the others.
  void begin_frame(const cv::Mat& luma);
  /// Takes one row in 16 into the estimate. Call once when done with a frame.
  void end_frame(const cv::Mat& luma, double t_s);

  const PictureRegion& region() const { return region_; }
  /// The cells kept in a band of cells: rows 8 band .. 8 band + 7.
  const CellSpan& cells(int band) const {
    return cells_[static_cast<std::size_t>(band)];
  }
  double gain(int v) const { return gain_[static_cast<std::size_t>(v)]; }
  /// Brightness expected at a pixel of this frame, grey levels.
  float expected(int u, int v) const {
    return static_cast<float>(gain_[static_cast<std::size_t>(v)]) *
           mean_.at<std::int16_t>(v, u) / kMeanScale;
  }
  /// Row of the mean, in 1/64 grey level, filled up to whole cells, and the
  /// row's gain in 2^-14.
  const std::int16_t* mean_row(int v) const {
    return mean_.ptr<std::int16_t>(v);
  }
  std::int16_t gain_q14(int v) const;
  /// A change in a cell counts beyond so many 1/16 grey levels; by cell.
  const std::int16_t* thresholds(int band) const {
    return threshold_.ptr<std::int16_t>(band);
  }
  /// Standard deviation of one pixel around `brightness`, grey levels.
  double noise(double brightness) const;

 private:
  static constexpr int kLevels = 16;  ///< bins of brightness for the noise

  void revise_row(const std::uint8_t* luma, int v);
  void settle(std::uint8_t value, int u, int v);
  void revise_noise(int band);
  void revise_level_noise(const std::int16_t* mean, int band);

  BackgroundOptions options_;
  PictureRegion region_;
  std::vector<CellSpan> cells_;  // by band
  GainMeter gain_meter_;
  cv::Mat mean_;       // int16, 1/64 level
  cv::Mat candidate_;  // uint8: a value that may become the new mean
  cv::Mat age_;        // uint8: how many visits it has stayed
  cv::Mat stray_;      // float per cell: mean absolute deviation, levels
  cv::Mat threshold_;  // int16 per cell, 1/16 level
  std::vector<double> gain_;
  std::array<double, kLevels> level_stray_{};
  // Of the row at work, by cell: sum of the deviations, and the first pixel's.
  std::vector<std::int32_t> row_stray_;
  std::vector<std::int16_t> first_stray_;
  int phase_ = 0;
  int settle_visits_ = 10;
  double last_t_s_ = 0;
  double frame_s_ = 0;
};

}  // namespace evenfeed
