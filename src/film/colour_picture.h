// SPDX-License-Identifier: MIT
// Between the planes a film stores and colours a person sees.
//
//   R' = Y + 2 (1 - Kr) Cr,  B' = Y + 2 (1 - Kb) Cb,
//   G' = (Y - Kr R' - Kb B') / (1 - Kr - Kb)
//
// with Y from 0 to 1 and Cb, Cr from -1/2 to 1/2; Kr, Kb = 0.299, 0.114
// (ITU-R BT.601), 0.2126, 0.0722 (BT.709), 0.2627, 0.0593 (BT.2020).
#pragma once

#include "film/colour_code.h"
#include "film/frame.h"
#include "film/yuv_picture.h"

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// The part `area` of a frame, CV_8UC3 with blue first; grey where the film
/// stores no colour at half size. Throws std::logic_error when the area does
/// not lie within the frame.
[[nodiscard]] cv::Mat colour_picture(const Frame& frame,
                                     const cv::Rect& area,
                                     const ColourCode& code);
[[nodiscard]] cv::Mat colour_picture(const Frame& frame,
                                     const ColourCode& code);

/// A frame's planes as they are; an odd last row or column is left out.
[[nodiscard]] YuvPicture yuv_of(const Frame& frame);

/// The other way, for pictures of an even size; a colour is the mean of the
/// four pixels it stands for.
[[nodiscard]] YuvPicture yuv_of(const cv::Mat& picture, const ColourCode& code);

}  // namespace evenfeed
