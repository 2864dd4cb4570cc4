// SPDX-License-Identifier: MIT
// The pixels of a plane that a streak is fitted to, in light.
#pragma once

#include "detection/background.h"
#include "detection/streak_fit.h"
#include "detection/tone_curve.h"

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// The streak's outline and enough background to see the soft edge end.
cv::Rect window_around(const Streak& streak, const cv::Mat& plane);

StreakPatch patch_of(const cv::Mat& plane,
                     const Background& background,
                     const ToneCurve& tone,
                     const cv::Rect& window);

}  // namespace evenfeed
