// SPDX-License-Identifier: MIT
#include "detection/gain_meter.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace evenfeed {
namespace {

constexpr int kRowsPerBand = 6;
constexpr int kSamplesPerRow = 128;
constexpr std::size_t kLeastSamples = 32;
constexpr float kDarkest = 24;     // below it the ratio is all noise
constexpr float kBrightest = 250;  // above it the sensor may be full
constexpr double kLeastGain = 0.25;
constexpr double kMostGain = 1.9;
// The ratio's bins: 1/512 wide, a tenth of what counts as near at most.
constexpr float kBinsPerUnit = 512;
constexpr int kBins = 1024;

}  // namespace

GainMeter::GainMeter(const std::vector<CellSpan>& bands) : cells_(bands) {
  const auto looked_at = [](const CellSpan& span) {
    return span.first < span.last;
  };
  const auto first = std::find_if(cells_.begin(), cells_.end(), looked_at);
  const auto last = std::find_if(cells_.rbegin(), cells_.rend(), looked_at);
  top_ = static_cast<int>(first - cells_.begin()) * kCell_px;
  bottom_ = static_cast<int>(cells_.rend() - last) * kCell_px;
}

void GainMeter::measure(const cv::Mat& luma,
                        const cv::Mat& mean,
                        int mean_scale,
                        std::vector<double>& gain) {
  const int bottom = std::min(bottom_, luma.rows);
  if (top_ >= bottom) return;
  mean_scale_ = mean_scale;
  std::array<double, kBands> bands{};
  const double band_rows = static_cast<double>(bottom - top_) / kBands;
  double last = gain[static_cast<std::size_t>((top_ + bottom) / 2)];
  for (int band = 0; band < kBands; ++band) {
    sample(luma,
           mean,
           top_ + static_cast<int>(band * band_rows),
           top_ + static_cast<int>((band + 1) * band_rows));
    last = std::clamp(gain_of_samples(last), kLeastGain, kMostGain);
    bands[static_cast<std::size_t>(band)] = last;
  }
  for (int v = 0; v < luma.rows; ++v) {
    const double at =
        std::clamp((v - top_) / band_rows - 0.5, 0.0, kBands - 1.0);
    const auto low = static_cast<std::size_t>(at);
    const std::size_t high = std::min<std::size_t>(low + 1, kBands - 1);
    const double part = at - static_cast<double>(low);
    gain[static_cast<std::size_t>(v)] =
        bands[low] * (1 - part) + bands[high] * part;
  }
}

void GainMeter::sample(const cv::Mat& luma,
                       const cv::Mat& mean,
                       int from,
                       int to) {
  seen_.clear();
  expected_.clear();
  const auto darkest = static_cast<std::int16_t>(kDarkest * mean_scale_);
  const float unit = 1.0F / mean_scale_;
  const int row_step = std::max(1, (to - from) / kRowsPerBand);
  for (int v = from; v < to; v += row_step) {
    const CellSpan span = cells_[static_cast<std::size_t>(v / kCell_px)];
    const int first = span.first * kCell_px;
    const int end = std::min(span.last * kCell_px, luma.cols);
    const int step = std::max(1, (end - first) / kSamplesPerRow);
    const auto* seen = luma.ptr<std::uint8_t>(v);
    const auto* expected = mean.ptr<std::int16_t>(v);
    for (int u = first; u < end; u += step) {
      if (expected[u] < darkest || seen[u] > kBrightest) continue;
      seen_.push_back(seen[u]);
      expected_.push_back(unit * expected[u]);
    }
  }
}

// Counted in bins: sorting would cost more than the rest together.
double GainMeter::middle_ratio() const {
  std::array<int, kBins> count{};
  for (std::size_t i = 0; i < seen_.size(); ++i) {
    const float at = kBinsPerUnit * seen_[i] / expected_[i];
    ++count[std::min(static_cast<std::size_t>(at), count.size() - 1)];
  }
  long left = static_cast<long>(seen_.size()) / 2;
  std::size_t bin = 0;
  while (left >= count[bin]) left -= count[bin++];
  return (static_cast<double>(bin) + 0.5) / kBinsPerUnit;
}

double GainMeter::gain_of_samples(double otherwise) {
  if (seen_.size() < kLeastSamples) return otherwise;
  const auto ratio = static_cast<float>(middle_ratio());
  float seen = 0, expected = 0;
  for (std::size_t i = 0; i < seen_.size(); ++i) {
    const bool near =
        std::abs(seen_[i] - ratio * expected_[i]) <= 5 + 0.02F * expected_[i];
    seen += near ? seen_[i] : 0;
    expected += near ? expected_[i] : 0;
  }
  return expected > 0
             ? static_cast<double>(seen) / static_cast<double>(expected)
             : otherwise;
}

}  // namespace evenfeed
