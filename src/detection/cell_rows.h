// SPDX-License-Identifier: MIT
// Pictures by cells of 8 x 8 px: one row of a cell is eight 16-bit values, one
// vector of every processor this runs on (OpenCV's portable vector type).
#pragma once

#include <cstdint>
#include <cstring>

#include <opencv2/core.hpp>
#include <opencv2/core/hal/intrin.hpp>

namespace evenfeed {

inline constexpr int kCell_px = 8;
using CellRow = cv::v_int16x8;

inline int cells_across(int width_px) {
  return (width_px + kCell_px - 1) / kCell_px;
}

/// Cells first .. last - 1 of a band of cells; first == last when none.
struct CellSpan {
  int first = 0;
  int last = 0;
};

inline CellRow cell_row(int value) {
  return cv::v_setall_s16(static_cast<short>(value));
}

/// The pixels of a cell in one row of a picture `width_px` wide, 0 beyond it.
inline CellRow pixels_of(const std::uint8_t* row, int cell, int width_px) {
  const int u = cell * kCell_px;
  if (u + kCell_px <= width_px) {
    return cv::v_reinterpret_as_s16(cv::v_load_expand(row + u));
  }
  std::uint8_t padded[kCell_px] = {};
  std::memcpy(padded, row + u, static_cast<std::size_t>(width_px - u));
  return cv::v_reinterpret_as_s16(cv::v_load_expand(padded));
}

/// |values|; -32768 becomes 32767.
inline CellRow size_of(const CellRow& values) {
  return cv::v_max(values, cell_row(0) - values);
}

}  // namespace evenfeed
