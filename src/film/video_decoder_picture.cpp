// SPDX-License-Identifier: MIT
// From the picture as it is stored to the picture as it was seen: square
// pixels, mirrored where the film says so.
#include "base/error.h"
#include "film/colours_of.h"
#include "film/video_decoder.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <opencv2/imgproc.hpp>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/pixdesc.h>
}

namespace evenfeed {

void VideoDecoder::take_size(const AVFrame& picture) {
  if (handed_out_ > 0) {
    if (picture.width == stored_width_ && picture.height == stored_height_) {
      return;
    }
    refuse(
        fmt::format("the picture changes from {} x {} to {} x {} at {:.2f} s",
                    stored_width_,
                    stored_height_,
                    picture.width,
                    picture.height,
                    last_t_s_),
        "Cut the film there and measure the parts one by one");
  }
  const char* format =
      av_get_pix_fmt_name(static_cast<AVPixelFormat>(picture.format));
  info_.pixel_format = format != nullptr ? format : "unknown";
  info_.colours = colours_of(picture);
  stored_width_ = picture.width;
  stored_height_ = picture.height;
  // Frame and container may both tell; FFmpeg knows whom to believe.
  AVFrame* asked = const_cast<AVFrame*>(&picture);
  const AVRational aspect =
      av_guess_sample_aspect_ratio(format_, stream_, asked);
  if (aspect.num <= 0 || aspect.den <= 0) return;
  const double wide = av_q2d(aspect);
  // A programme that made the size even says so; no place moves by that.
  constexpr double kSquare = 0.001;
  if (std::abs(wide - 1) < kSquare) return;
  if (wide < 0.2 || wide > 5) {
    refuse(fmt::format("its pixels are said to be {}:{}, which no camera makes",
                       aspect.num,
                       aspect.den),
           "Convert the film to square pixels first");
  }
  // Stretched, never shrunk: nothing that was seen is lost.
  stretch_u_ = std::max(wide, 1.0);
  stretch_v_ = std::max(1 / wide, 1.0);
}

// By the very ratio, also where a whole number of pixels is not reached by it;
// what is then missing at the edge is the edge again.
cv::Mat VideoDecoder::squared(const cv::Mat& plane,
                              const cv::Size& full) const {
  if (plane.empty() || (stretch_u_ == 1 && stretch_v_ == 1)) return plane;
  cv::Mat scaled;
  cv::resize(plane, scaled, {}, stretch_u_, stretch_v_, cv::INTER_CUBIC);
  const int right = std::max(0, full.width - scaled.cols);
  const int bottom = std::max(0, full.height - scaled.rows);
  if (right > 0 || bottom > 0) {
    cv::copyMakeBorder(
        scaled, scaled, 0, bottom, 0, right, cv::BORDER_REPLICATE);
  }
  return scaled(cv::Rect({}, full));
}

// A mirror leaves the rows where they are: a rolling shutter still runs down.
cv::Mat VideoDecoder::as_seen(const cv::Mat& plane) const {
  if (plane.empty() || !mirrored_) return plane;
  cv::Mat seen;
  cv::flip(plane, seen, 1);
  return seen;
}

}  // namespace evenfeed
