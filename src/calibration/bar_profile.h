// SPDX-License-Identifier: MIT
// One cut across a bright line: where its two edges are, to sub-pixel.
// Model: three grey levels (left, bar, right) joined by two steps blurred by
// one Gaussian,
//   I(s) = L + (B - L) Phi((s - e1)/sigma) + (R - B) Phi((s - e2)/sigma),
// fitted by Levenberg-Marquardt. Below about three pixels of width, blur,
// width and brightness cannot be told apart: then width and blur are given
// and only the middle is fitted.
#pragma once

#include <vector>

namespace evenfeed {

struct BarProfile {
  bool found = false;
  double low_px = 0;                    ///< e1, in the coordinates of the cut
  double high_px = 0;                   ///< e2
  double blur_px = 0;                   ///< sigma
  double left = 0, bar = 0, right = 0;  ///< grey levels
  double rms = 0;                       ///< grey levels

  double middle_px() const { return (low_px + high_px) / 2; }
  /// Step of the weaker side; positive when the bar is the brightest.
  double contrast() const { return bar - (left > right ? left : right); }
};

/// Where a bar of `width_px` most likely is in `grey` (sampled every `step_px`,
/// the middle sample at 0), by the difference of the bar's mean from the
/// brighter of its two flanks. Looks `reach_px` to both sides. The result has
/// contrast but no sub-pixel place; found = false when the cut is too short.
BarProfile coarse_bar(const std::vector<double>& grey,
                      double step_px,
                      double width_px,
                      double reach_px);

/// Which of the bar's width and blur are fitted.
enum class BarFit {
  kByWidth,    ///< both, or for a narrow bar neither
  kBlurGiven,  ///< the width only
};

/// Sub-pixel fit from a coarse place. `blur_px` is used as given for narrow
/// bars and as a start for wide ones.
BarProfile fit_bar(const std::vector<double>& grey,
                   double step_px,
                   const BarProfile& start,
                   double blur_px,
                   BarFit what = BarFit::kByWidth);

/// Narrower bars are fitted with their width and blur given.
inline constexpr double kNarrowBar_px = 3.0;

}  // namespace evenfeed
