// SPDX-License-Identifier: MIT
// The brightness of a frame against its background, in bands down the picture:
// a rolling shutter sees a flickering lamp in bands.
//
// In each band the gain is the ratio of the sums of seen and expected
// brightness over those sampled pixels whose own ratio lies near the middle
// one: balls and people are left out, and the rounding of the grey levels,
// which the middle ratio alone would carry, averages away. A band with too few
// samples takes the gain of the band above.
#pragma once

#include "detection/cell_rows.h"

#include <cstdint>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

class GainMeter {
 public:
  /// `bands`: the cells looked at in each band of cells; all may be empty.
  explicit GainMeter(const std::vector<CellSpan>& bands);

  /// Sets `gain`, one value per row of the picture, from a frame and its mean
  /// (int16, `mean_scale` per grey level). Starts from the gain that stands in
  /// the middle row.
  void measure(const cv::Mat& luma,
               const cv::Mat& mean,
               int mean_scale,
               std::vector<double>& gain);

 private:
  static constexpr int kBands = 16;

  void sample(const cv::Mat& luma, const cv::Mat& mean, int from, int to);
  double middle_ratio() const;
  double gain_of_samples(double otherwise);

  const std::vector<CellSpan> cells_;
  int top_ = 0;     // first row looked at
  int bottom_ = 0;  // one past the last
  int mean_scale_ = 1;
  std::vector<float> seen_, expected_;
};

}  // namespace evenfeed
