// SPDX-License-Identifier: MIT
// How a film stores its colours.
#pragma once

namespace evenfeed {

struct ColourCode {
  /// Which luma the colour differences are differences from.
  enum class Matrix {
    kBt601,   ///< ITU-R BT.601: films below 720 lines that say nothing
    kBt709,   ///< ITU-R BT.709: larger ones
    kBt2020,  ///< ITU-R BT.2020, non-constant luminance: wide-gamut films
  };
  Matrix matrix = Matrix::kBt709;
  /// Brightness from 0 to 255, colour differences about 128 by as much; else
  /// from 16 to 235, and from 16 to 240.
  bool full_range = false;
  bool operator==(const ColourCode&) const = default;
};

}  // namespace evenfeed
