// SPDX-License-Identifier: MIT
// A film's scene without what moves: the median over time, pixel by pixel.
#pragma once

#include <filesystem>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Median of 8-bit pictures of one size. With an even number of pictures the
/// mean of the two middle values, rounded up. Throws std::logic_error when the
/// list is empty or the sizes differ.
cv::Mat median_picture(const std::vector<cv::Mat>& pictures);

/// The median of about `frames` frames spread over the film.
cv::Mat background_still(const std::filesystem::path& film, int frames = 31);

}  // namespace evenfeed
