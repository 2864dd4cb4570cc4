// SPDX-License-Identifier: MIT
#include "vision/background.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

constexpr int kGainBands = 16;
constexpr int kGainSamplesPerRow = 128;
// Standard deviation of a normal variable over its mean absolute deviation.
constexpr double kSigmaOverMad = 1.2533;

int first_row(const PictureRegion& region) {
  int v = 0;
  while (v < region.height_px() && region.row(v).first == region.row(v).last) {
    ++v;
  }
  return v;
}

int end_row(const PictureRegion& region) {
  int v = region.height_px();
  while (v > 0 && region.row(v - 1).first == region.row(v - 1).last) --v;
  return v;
}

// Middle of the ratios, then the weighted mean of those near it: the middle
// alone would carry the rounding of the grey levels.
double robust_ratio(std::vector<std::pair<float, float>>& samples,
                    double otherwise) {
  if (samples.size() < 32) return otherwise;
  const auto middle = samples.begin() + static_cast<long>(samples.size() / 2);
  std::nth_element(samples.begin(), middle, samples.end(), [](auto a, auto b) {
    return a.first * b.second < b.first * a.second;
  });
  const float ratio = middle->first / middle->second;
  double seen = 0, expected = 0;
  for (const auto& [value, mean] : samples) {
    if (std::abs(value - ratio * mean) > 5 + 0.02F * mean) continue;
    seen += value;
    expected += mean;
  }
  return expected > 0 ? seen / expected : otherwise;
}

}  // namespace

void BackgroundOptions::check() const {
  require_positive(threshold_sigma, "threshold_sigma");
  require_in_range(least_step, 1, 128, "least_step");
  require_positive(settle_s, "settle_s");
}

Background::Background(const BackgroundOptions& options, PictureRegion region)
    : options_(options), region_(std::move(region)) {
  options_.check();
}

void Background::learn(const std::vector<cv::Mat>& stills) {
  require(!stills.empty(), "learning a background needs a still picture");
  const int width = region_.width_px();
  const int height = region_.height_px();
  for (const cv::Mat& still : stills) {
    require(
        still.type() == CV_8UC1 && still.cols == width && still.rows == height,
        "a still picture is 8-bit grey and as large as the region");
  }
  const cv::Scalar first_mean = cv::mean(stills.front());
  std::vector<double> scale;
  for (const cv::Mat& still : stills) {
    const double mean = cv::mean(still)[0];
    scale.push_back(options_.follow_gain && mean > 1 ? first_mean[0] / mean
                                                     : 1);
  }
  mean_.create(height, width, CV_16SC1);
  std::vector<double> values(stills.size());
  const auto middle = values.begin() + static_cast<long>(values.size() / 2);
  for (int v = 0; v < height; ++v) {
    auto* mean = mean_.ptr<std::int16_t>(v);
    for (int u = 0; u < width; ++u) {
      for (std::size_t i = 0; i < stills.size(); ++i) {
        values[i] = scale[i] * stills[i].ptr<std::uint8_t>(v)[u];
      }
      std::nth_element(values.begin(), middle, values.end());
      mean[u] = static_cast<std::int16_t>(
          std::lround(std::min(*middle, 255.0) * kMeanScale));
    }
  }
  candidate_ = cv::Mat::zeros(height, width, CV_8UC1);
  age_ = cv::Mat::zeros(height, width, CV_8UC1);
  gain_.assign(static_cast<std::size_t>(height), 1.0);
  row_stray_.assign(static_cast<std::size_t>(width), 0);
  level_stray_.fill(1.5);
  const int cell_rows = (height + kCell - 1) / kCell;
  const int cell_columns = (width + kCell - 1) / kCell;
  stray_ = cv::Mat(cell_rows, cell_columns, CV_32FC1, cv::Scalar(1.5));
  threshold_.create(cell_rows, width, CV_16SC1);
  for (int row = 0; row < cell_rows; ++row) refresh_threshold(row);
}

std::int16_t Background::gain_q14(int v) const {
  return static_cast<std::int16_t>(
      std::lround(std::clamp(gain(v), 0.0, 1.99) * (1 << 14)));
}

double Background::noise(double brightness) const {
  const double at =
      std::clamp(brightness / 256 * kLevels - 0.5, 0.0, kLevels - 1.0);
  const auto low = static_cast<std::size_t>(at);
  const std::size_t high = std::min<std::size_t>(low + 1, kLevels - 1);
  const double part = at - static_cast<double>(low);
  const double stray =
      level_stray_[low] * (1 - part) + level_stray_[high] * part;
  return std::max(kSigmaOverMad * stray, 0.4);  // rounding alone gives 0.29
}

void Background::begin_frame(const cv::Mat& luma) {
  require(learned(), "the background has not been learned");
  require(luma.type() == CV_8UC1 && luma.size() == mean_.size(),
          "the frame is 8-bit grey and as large as the background");
  if (options_.follow_gain) measure_gain(luma);
}

void Background::measure_gain(const cv::Mat& luma) {
  const int top = first_row(region_);
  const int bottom = end_row(region_);
  if (top >= bottom) return;
  std::array<double, kGainBands> bands{};
  std::vector<std::pair<float, float>> samples;
  const double band_rows = static_cast<double>(bottom - top) / kGainBands;
  double last = gain((top + bottom) / 2);
  for (int band = 0; band < kGainBands; ++band) {
    samples.clear();
    const int from = top + static_cast<int>(band * band_rows);
    const int to = top + static_cast<int>((band + 1) * band_rows);
    const int row_step = std::max(1, (to - from) / 6);
    for (int v = from; v < to; v += row_step) {
      const ColumnSpan span = region_.row(v);
      const int step =
          std::max(1, (span.last - span.first) / kGainSamplesPerRow);
      const auto* seen = luma.ptr<std::uint8_t>(v);
      const std::int16_t* mean = mean_row(v);
      for (int u = span.first; u < span.last; u += step) {
        if (mean[u] < 24 * kMeanScale || seen[u] > 250) continue;
        samples.emplace_back(seen[u], static_cast<float>(mean[u]) / kMeanScale);
      }
    }
    last = std::clamp(robust_ratio(samples, last), 0.25, 1.9);
    bands[static_cast<std::size_t>(band)] = last;
  }
  for (int v = 0; v < region_.height_px(); ++v) {
    const double at =
        std::clamp((v - top) / band_rows - 0.5, 0.0, kGainBands - 1.0);
    const auto low = static_cast<std::size_t>(at);
    const std::size_t high = std::min<std::size_t>(low + 1, kGainBands - 1);
    const double part = at - static_cast<double>(low);
    gain_[static_cast<std::size_t>(v)] =
        bands[low] * (1 - part) + bands[high] * part;
  }
}

void Background::end_frame(const cv::Mat& luma, double t_s) {
  const double step_s = t_s - last_t_s_;
  last_t_s_ = t_s;
  if (step_s > 0 && step_s < 1) {
    frame_s_ = frame_s_ > 0 ? frame_s_ + (step_s - frame_s_) / 16 : step_s;
    settle_visits_ = static_cast<int>(
        std::clamp(options_.settle_s / (frame_s_ * kRowCycle), 3.0, 250.0));
  }
  for (int v = phase_; v < region_.height_px(); v += kRowCycle) {
    if (region_.row(v).first < region_.row(v).last) {
      revise_row(luma.ptr<std::uint8_t>(v), v);
    }
  }
  // Neighbouring rows in turn would revise a cell's noise in one burst.
  phase_ = (phase_ + 5) % kRowCycle;
}

void Background::revise_row(const std::uint8_t* luma, int v) {
  const ColumnSpan span = region_.row(v);
  auto* mean = mean_.ptr<std::int16_t>(v);
  const std::int16_t* threshold = threshold_row(v);
  std::int16_t* strays = row_stray_.data();
  // Seen brightness undone by the gain: 2^-14 of 1/gain times 1/64 levels.
  const int undo = static_cast<int>(std::lround((1 << 14) / gain(v)));
  for (int u = span.first; u < span.last; ++u) {
    const int seen = (luma[u] * undo) >> 8;  // in 1/64 level
    const int stray = std::clamp(seen - mean[u], -32767, 32767);
    const int limit = threshold[u] * (kMeanScale / kStepScale);
    const bool near = std::abs(stray) <= limit;
    const int revision = near ? (stray + 8) >> 4 : (stray > 0 ? 8 : -8);
    strays[u] = static_cast<std::int16_t>(stray);
    mean[u] = static_cast<std::int16_t>(mean[u] + revision);
  }
  for (int u = span.first; u < span.last; ++u) {
    const int limit = threshold[u] * (kMeanScale / kStepScale);
    if (std::abs(strays[u]) > limit) {
      settle(
          static_cast<std::uint8_t>(std::clamp((luma[u] * undo) >> 14, 0, 255)),
          u,
          v);
    }
  }
  revise_noise(strays, mean, v);
}

void Background::settle(std::uint8_t value, int u, int v) {
  std::uint8_t& candidate = candidate_.at<std::uint8_t>(v, u);
  std::uint8_t& age = age_.at<std::uint8_t>(v, u);
  const double allowed = 3 * noise(value) + 2;
  if (std::abs(value - candidate) > allowed) {
    candidate = value;
    age = 0;
    return;
  }
  if (++age < settle_visits_) return;
  mean_.at<std::int16_t>(v, u) =
      static_cast<std::int16_t>(candidate * kMeanScale);
  age = 0;
}

void Background::revise_noise(const std::int16_t* strays,
                              const std::int16_t* mean,
                              int v) {
  const ColumnSpan span = region_.row(v);
  auto* cells = stray_.ptr<float>(v / kCell);
  const int first = (span.first + kCell - 1) / kCell;
  const int end = span.last / kCell;
  for (int cell = first; cell < end; ++cell) {
    int sum = 0;
    for (int u = cell * kCell; u < (cell + 1) * kCell; ++u) {
      sum += std::abs(static_cast<int>(strays[u]));
    }
    const float seen = static_cast<float>(sum) / (kCell * kMeanScale);
    // Clipped, so that a ball that passes counts as a little noise only.
    cells[cell] += (std::min(seen, 3 * cells[cell] + 0.5F) - cells[cell]) / 16;
  }
  for (int u = span.first; u < span.last; u += 4) {
    auto& stray = level_stray_[static_cast<std::size_t>(
        std::clamp(mean[u] / (kMeanScale * 256 / kLevels), 0, kLevels - 1))];
    const double seen = std::abs(static_cast<double>(strays[u])) / kMeanScale;
    stray += (std::min(seen, 4 * stray + 0.5) - stray) / 4096;
  }
  refresh_threshold(v / kCell);
}

void Background::refresh_threshold(int cell_row) {
  auto* threshold = threshold_.ptr<std::int16_t>(cell_row);
  const auto* cells = stray_.ptr<float>(cell_row);
  const int width = region_.width_px();
  for (int u = 0; u < width; u += kCell) {
    const double sigma = kSigmaOverMad * static_cast<double>(cells[u / kCell]);
    const double step = std::clamp(
        options_.threshold_sigma * sigma, options_.least_step, 100.0);
    const int end = std::min(u + kCell, width);
    std::fill(threshold + u,
              threshold + end,
              static_cast<std::int16_t>(std::lround(step * kStepScale)));
  }
}

}  // namespace evenfeed
