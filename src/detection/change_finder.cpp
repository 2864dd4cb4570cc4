// SPDX-License-Identifier: MIT
#include "detection/change_finder.h"

#include "base/check.h"

#include <algorithm>
#include <utility>

namespace evenfeed {
namespace {

// Cells this far apart belong together: a line under a ball splits it in two.
constexpr int kReach = 2;

}  // namespace

ChangeFinder::ChangeFinder(int width_px,
                           std::vector<BandLook> bands,
                           double quiet_step,
                           ChangeSign sign)
    : columns_(cells_across(width_px)),
      rows_(static_cast<int>(bands.size())),
      bands_(std::move(bands)),
      quiet_threshold_(static_cast<int>(quiet_step * Background::kStepScale)),
      up_(sign == ChangeSign::kDown ? 0 : -1),
      down_(sign == ChangeSign::kUp ? 0 : -1),
      active_(static_cast<std::size_t>(columns_ * rows_)),
      labels_(static_cast<std::size_t>(columns_ * rows_)) {
  for (const BandLook& band : bands_) {
    const int step = band.row_step;
    require(step == 1 || step == 2 || step == 4, "a row step is 1, 2 or 4");
  }
}

const std::vector<ChangedArea>& ChangeFinder::find(
    const cv::Mat& luma, const Background& background) {
  std::fill(active_.begin(), active_.end(), std::uint8_t{0});
  std::fill(labels_.begin(), labels_.end(), 0);
  areas_.clear();
  looked_at_ = 0;
  for (int band = 0; band < rows_; ++band) {
    switch (bands_[static_cast<std::size_t>(band)].row_step) {
      case 1:
        mark_band<8>(luma, background, band);
        break;
      case 2:
        mark_band<4>(luma, background, band);
        break;
      default:
        mark_band<2>(luma, background, band);
    }
  }
  group();
  return areas_;
}

// kRows rows of each cell are compared.
template <int kRows>
void ChangeFinder::mark_band(const cv::Mat& luma,
                             const Background& background,
                             int band) {
  constexpr int kStep = kCell_px / kRows;
  constexpr int kNeeded = kStep <= 2 ? 3 : 2;
  const int needed_in_noise =
      std::max(kNeeded, bands_[static_cast<std::size_t>(band)].needed_in_noise);
  const CellSpan span = background.cells(band);
  looked_at_ += span.last - span.first;
  const std::uint8_t* seen_rows[kRows];
  const std::int16_t* mean_rows[kRows];
  CellRow gains[kRows];
  for (int i = 0; i < kRows; ++i) {
    // Below the picture its last row is looked at once more.
    const int v =
        std::min(band * kCell_px + kStep / 2 + i * kStep, luma.rows - 1);
    seen_rows[i] = luma.ptr<std::uint8_t>(v);
    mean_rows[i] = background.mean_row(v);
    gains[i] = cell_row(background.gain_q14(v));
  }
  const CellRow none = cell_row(0), up = cell_row(up_), down = cell_row(down_);
  const std::int16_t* thresholds = background.thresholds(band);
  std::uint8_t* active =
      active_.data() + static_cast<std::ptrdiff_t>(band) * columns_;
  for (int cell = span.first; cell < span.last; ++cell) {
    const CellRow threshold = cell_row(thresholds[cell]);
    CellRow changed = none;  // -1 for each pixel that changed
    for (int i = 0; i < kRows; ++i) {
      // 1/64 level * 2^-14 >> 16 = 1/16 level, all in 16 bits.
      const CellRow expected =
          cv::v_mul_hi(cv::v_load(mean_rows[i] + cell * kCell_px), gains[i]);
      const CellRow seen = pixels_of(seen_rows[i], cell, luma.cols) << 4;
      const CellRow step = seen - expected;
      const CellRow size = cv::v_max(step & up, (none - step) & down);
      changed = changed + (size > threshold);
    }
    if (!cv::v_check_any(changed)) continue;
    const int count = -cv::v_reduce_sum(changed);
    const int needed =
        thresholds[cell] > quiet_threshold_ ? needed_in_noise : kNeeded;
    active[cell] =
        static_cast<std::uint8_t>(count >= needed ? count * kStep : 0);
  }
}

void ChangeFinder::group() {
  long changed = 0;
  for (int start = 0; start < columns_ * rows_; ++start) {
    const auto at = static_cast<std::size_t>(start);
    if (active_[at] == 0) continue;
    ++changed;
    if (labels_[at] != 0) continue;
    const int label = static_cast<int>(areas_.size()) + 1;
    int left = columns_, right = 0, top = rows_, bottom = 0;
    int pixels = 0;
    labels_[at] = label;
    stack_.assign(1, start);
    while (!stack_.empty()) {
      const int cell = stack_.back();
      stack_.pop_back();
      const int row = cell / columns_;
      const int column = cell % columns_;
      pixels += active_[static_cast<std::size_t>(cell)];
      left = std::min(left, column);
      right = std::max(right, column);
      top = std::min(top, row);
      bottom = std::max(bottom, row);
      for (int r = std::max(0, row - kReach);
           r <= std::min(rows_ - 1, row + kReach);
           ++r) {
        for (int c = std::max(0, column - kReach);
             c <= std::min(columns_ - 1, column + kReach);
             ++c) {
          const auto next = static_cast<std::size_t>(r * columns_ + c);
          if (active_[next] == 0 || labels_[next] != 0) continue;
          labels_[next] = label;
          stack_.push_back(static_cast<int>(next));
        }
      }
    }
    areas_.push_back({cv::Rect(left * kCell_px,
                               top * kCell_px,
                               (right - left + 1) * kCell_px,
                               (bottom - top + 1) * kCell_px),
                      label,
                      pixels});
  }
  changed_part_ =
      looked_at_ > 0 ? static_cast<double>(changed) / looked_at_ : 0;
}

}  // namespace evenfeed
