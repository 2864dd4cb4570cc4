// SPDX-License-Identifier: MIT
#include "vision/change_finder.h"

#include "base/check.h"

#include <algorithm>
#include <cstdlib>

namespace evenfeed {
namespace {

constexpr int kCell = Background::kCell;
// Cells this far apart belong together: a line under a ball splits it in two.
constexpr int kReach = 2;

}  // namespace

ChangeFinder::ChangeFinder(int width_px, int height_px, int row_step)
    : columns_((width_px + kCell - 1) / kCell),
      rows_((height_px + kCell - 1) / kCell),
      row_step_(row_step),
      counts_(static_cast<std::size_t>(columns_ * kCell)),
      active_(static_cast<std::size_t>(columns_ * rows_)),
      labels_(static_cast<std::size_t>(columns_ * rows_)) {
  require(row_step == 1 || row_step == 2 || row_step == 4 || row_step == 8,
          "row_step is 1, 2, 4 or 8");
}

const std::vector<ChangedArea>& ChangeFinder::find(
    const cv::Mat& luma, const Background& background) {
  std::fill(active_.begin(), active_.end(), std::uint8_t{0});
  std::fill(labels_.begin(), labels_.end(), 0);
  areas_.clear();
  looked_at_ = 0;
  for (int band = 0; band < rows_; ++band) mark_band(luma, background, band);
  group();
  return areas_;
}

void ChangeFinder::mark_band(const cv::Mat& luma,
                             const Background& background,
                             int band) {
  const int end_row = std::min((band + 1) * kCell, luma.rows);
  int first = luma.cols;
  int last = 0;
  for (int v = band * kCell + row_step_ / 2; v < end_row; v += row_step_) {
    const ColumnSpan span = background.region().row(v);
    if (span.first == span.last) continue;
    first = std::min(first, span.first);
    last = std::max(last, span.last);
  }
  if (first >= last) return;
  std::fill(counts_.begin() + first, counts_.begin() + last, std::int16_t{0});
  std::int16_t* counts = counts_.data();
  for (int v = band * kCell + row_step_ / 2; v < end_row; v += row_step_) {
    const ColumnSpan span = background.region().row(v);
    const auto* seen = luma.ptr<std::uint8_t>(v);
    const std::int16_t* mean = background.mean_row(v);
    const std::int16_t* threshold = background.threshold_row(v);
    const std::int16_t gain = background.gain_q14(v);
    for (int u = span.first; u < span.last; ++u) {
      // 1/64 level * 2^-14 >> 16 = 1/16 level, all in 16 bits at a time.
      const auto expected =
          static_cast<std::int16_t>((static_cast<int>(mean[u]) * gain) >> 16);
      const auto step = static_cast<std::int16_t>((seen[u] << 4) - expected);
      const std::int16_t limit = threshold[u];
      counts[u] = static_cast<std::int16_t>(counts[u] +
                                            ((step > limit) | (step < -limit)));
    }
  }
  const int needed = row_step_ <= 2 ? 3 : 2;
  for (int cell = first / kCell; cell * kCell < last; ++cell) {
    int count = 0;
    const int from = std::max(cell * kCell, first);
    const int to = std::min((cell + 1) * kCell, last);
    for (int u = from; u < to; ++u) count += counts[u];
    ++looked_at_;
    active_[static_cast<std::size_t>(band * columns_ + cell)] =
        count >= needed ? 1 : 0;
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
    labels_[at] = label;
    stack_.assign(1, start);
    while (!stack_.empty()) {
      const int cell = stack_.back();
      stack_.pop_back();
      const int row = cell / columns_;
      const int column = cell % columns_;
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
    areas_.push_back({cv::Rect(left * kCell,
                               top * kCell,
                               (right - left + 1) * kCell,
                               (bottom - top + 1) * kCell),
                      label});
  }
  changed_part_ =
      looked_at_ > 0 ? static_cast<double>(changed) / looked_at_ : 0;
}

}  // namespace evenfeed
