// SPDX-License-Identifier: MIT
// How far the picture itself moves while the film runs: a camera in the hand, a
// swaying mount, or digital stabilisation, which shifts the picture against the
// sensor. A table in such a film is smeared over its still and is not found;
// this says why. By phase correlation of successive pictures (Kuglin and Hines
// 1975), which a ball in flight hardly touches.
#pragma once

#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Median shift from each 8-bit picture to the next, px; 0 when they are too
/// few or show different things.
[[nodiscard]] double picture_unrest_px(const std::vector<cv::Mat>& pictures);

}  // namespace evenfeed
