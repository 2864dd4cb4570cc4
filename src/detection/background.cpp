// SPDX-License-Identifier: MIT
#include "detection/background.h"

#include "base/check.h"
#include "base/parallel.h"
#include "film/row_median.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

// Standard deviation of a normal variable over its mean absolute deviation.
constexpr float kSigmaOverMad = 1.2533F;
constexpr float kMostStep = 100;  // grey levels

// Bands of cells that the region touches.
std::vector<CellSpan> cells_of(const PictureRegion& region) {
  const int bands = cells_across(region.height_px());
  std::vector<CellSpan> cells(static_cast<std::size_t>(bands));
  for (int v = 0; v < region.height_px(); ++v) {
    const ColumnSpan& row = region.row(v);
    if (row.first == row.last) continue;
    CellSpan& span = cells[static_cast<std::size_t>(v / kCell_px)];
    const CellSpan own{row.first / kCell_px, cells_across(row.last)};
    span = span.first == span.last ? own
                                   : CellSpan{std::min(span.first, own.first),
                                              std::max(span.last, own.last)};
  }
  return cells;
}

// Median of the stills' rows `v` at 1/64 level, each times its scale.
void median_row(const std::vector<cv::Mat>& stills,
                const std::vector<double>& scale,
                int v,
                std::int16_t* mean) {
  constexpr int kChunk = 256;  // stays in the fastest memory
  const int width = stills.front().cols;
  std::vector<std::int16_t> values(stills.size() * kChunk);
  std::vector<std::int16_t*> rows(stills.size());
  for (std::size_t i = 0; i < stills.size(); ++i) {
    rows[i] = values.data() + i * kChunk;
  }
  for (int first = 0; first < width; first += kChunk) {
    const int count = std::min(kChunk, width - first);
    for (std::size_t i = 0; i < stills.size(); ++i) {
      const auto* level = stills[i].ptr<std::uint8_t>(v) + first;
      const auto unit = static_cast<float>(scale[i] * Background::kMeanScale);
      for (int u = 0; u < count; ++u) {
        rows[i][u] = static_cast<std::int16_t>(
            std::min(unit * static_cast<float>(level[u]) + 0.5F,
                     255.0F * Background::kMeanScale));
      }
    }
    sort_to_middle(rows, count);
    std::copy_n(rows[rows.size() / 2], count, mean + first);
  }
}

}  // namespace

void BackgroundOptions::check() const {
  require_positive(threshold_sigma, "threshold_sigma");
  require_in_range(least_step, 1, 128, "least_step");
  require_positive(settle_s, "settle_s");
}

Background::Background(const BackgroundOptions& options, PictureRegion region)
    : options_(options),
      region_(std::move(region)),
      cells_(cells_of(region_)),
      gain_meter_(cells_) {
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
  const int bands = cells_across(height);
  const int across = cells_across(width);
  mean_ = cv::Mat::zeros(height, across * kCell_px, CV_16SC1);
  for_each_index(static_cast<std::size_t>(height), [&](std::size_t row) {
    const int v = static_cast<int>(row);
    median_row(stills, scale, v, mean_.ptr<std::int16_t>(v));
  });
  candidate_ = cv::Mat::zeros(mean_.size(), CV_8UC1);
  age_ = cv::Mat::zeros(mean_.size(), CV_8UC1);
  gain_.assign(static_cast<std::size_t>(height), 1.0);
  row_stray_.assign(static_cast<std::size_t>(across), 0);
  first_stray_.assign(static_cast<std::size_t>(across), 0);
  level_stray_.fill(1.5);
  stray_ = cv::Mat(bands, across, CV_32FC1, cv::Scalar(1.5));
  threshold_ = cv::Mat(bands,
                       across,
                       CV_16SC1,
                       cv::Scalar(std::clamp(options_.threshold_sigma *
                                                 double{kSigmaOverMad} * 1.5,
                                             options_.least_step,
                                             double{kMostStep}) *
                                  kStepScale));
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
  return std::max(double{kSigmaOverMad} * stray,
                  0.4);  // rounding alone gives 0.29
}

void Background::begin_frame(const cv::Mat& luma) {
  require(learned(), "the background has not been learned");
  require(luma.type() == CV_8UC1 && luma.cols == region_.width_px() &&
              luma.rows == region_.height_px(),
          "the frame is 8-bit grey and as large as the background");
  if (options_.follow_gain) {
    gain_meter_.measure(luma, mean_, kMeanScale, gain_);
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
    const CellSpan& span = cells(v / kCell_px);
    if (span.first < span.last) revise_row(luma.ptr<std::uint8_t>(v), v);
  }
  // Neighbouring rows in turn would revise a cell's noise in one burst.
  phase_ = (phase_ + 5) % kRowCycle;
}

void Background::revise_row(const std::uint8_t* luma, int v) {
  const int band = v / kCell_px;
  const CellSpan span = cells(band);
  auto* mean = mean_.ptr<std::int16_t>(v);
  const std::int16_t* threshold = thresholds(band);
  // Seen brightness undone by the gain: 2^-14 of 1/gain times 1/64 levels.
  const int undo = std::min(static_cast<int>(std::lround((1 << 14) / gain(v))),
                            (1 << 16) - 1);
  const cv::v_uint16x8 undo8 =
      cv::v_setall_u16(static_cast<std::uint16_t>(undo));
  const cv::v_uint16x8 most = cv::v_setall_u16(32767);
  const CellRow up = cell_row(8), down = cell_row(-8), none = cell_row(0);
  for (int cell = span.first; cell < span.last; ++cell) {
    const int u = cell * kCell_px;
    const CellRow level = pixels_of(luma, cell, region_.width_px());
    const CellRow seen = cv::v_reinterpret_as_s16(cv::v_min(
        most, cv::v_mul_hi(cv::v_reinterpret_as_u16(level) << 8, undo8)));
    const CellRow expected = cv::v_load(mean + u);
    const CellRow stray = seen - expected;
    const CellRow size = size_of(stray);
    const CellRow far =
        size > cell_row(threshold[cell] * (kMeanScale / kStepScale));
    const CellRow revision = cv::v_select(
        far, cv::v_select(stray > none, up, down), (stray + up) >> 4);
    cv::v_store(mean + u, expected + revision);
    row_stray_[static_cast<std::size_t>(cell)] = cv::v_reduce_sum(size);
    first_stray_[static_cast<std::size_t>(cell)] = size.get0();
    if (!cv::v_check_any(far)) continue;
    const int end = std::min(u + kCell_px, region_.width_px());
    for (int i = u; i < end; ++i) {
      if ((cv::v_signmask(far) >> (i - u) & 1) == 0) continue;
      settle(static_cast<std::uint8_t>(std::min((luma[i] * undo) >> 14, 255)),
             i,
             v);
    }
  }
  revise_level_noise(mean, band);
  revise_noise(band);
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

// The mean deviation of each cell, and the threshold that follows from it.
void Background::revise_noise(int band) {
  const CellSpan span = cells(band);
  float* stray = stray_.ptr<float>(band);
  std::int16_t* threshold = threshold_.ptr<std::int16_t>(band);
  const std::int32_t* row_stray = row_stray_.data();
  constexpr float kUnit = 1.0F / (kCell_px * kMeanScale);
  const auto least = static_cast<float>(options_.least_step);
  const float sigmas =
      static_cast<float>(options_.threshold_sigma) * kSigmaOverMad;
  for (int cell = span.first; cell < span.last; ++cell) {
    const float seen = kUnit * static_cast<float>(row_stray[cell]);
    // Clipped, so that a ball that passes counts as a little noise only.
    const float kept = stray[cell];
    const float now = kept + (std::min(seen, 3 * kept + 0.5F) - kept) / 16;
    const float step = std::min(std::max(sigmas * now, least), kMostStep);
    stray[cell] = now;
    threshold[cell] = static_cast<std::int16_t>(step * kStepScale + 0.5F);
  }
}

// The mean deviation at each brightness; one pixel of each cell will do.
void Background::revise_level_noise(const std::int16_t* mean, int band) {
  constexpr double kMemory = 2048;  // pixels
  const CellSpan span = cells(band);
  std::array<int, kLevels> most{}, sum{}, count{};
  for (std::size_t i = 0; i < kLevels; ++i) {
    most[i] = static_cast<int>((4 * level_stray_[i] + 0.5) * kMeanScale);
  }
  for (int cell = span.first; cell < span.last; ++cell) {
    const int level = mean[cell * kCell_px] / (kMeanScale * 256 / kLevels);
    const auto bin =
        static_cast<std::size_t>(std::clamp(level, 0, kLevels - 1));
    const int size = first_stray_[static_cast<std::size_t>(cell)];
    sum[bin] += std::min(size, most[bin]);
    ++count[bin];
  }
  for (std::size_t i = 0; i < kLevels; ++i) {
    if (count[i] == 0) continue;
    const double seen = static_cast<double>(sum[i]) / count[i] / kMeanScale;
    level_stray_[i] +=
        (seen - level_stray_[i]) * count[i] / (kMemory + count[i]);
  }
}

}  // namespace evenfeed
