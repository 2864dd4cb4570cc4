// SPDX-License-Identifier: MIT
#include "film/picture_planes.h"

#include <cstdint>

extern "C" {
#include <libavutil/frame.h>
#include <libavutil/pixdesc.h>
#include <libswscale/swscale.h>
}

namespace evenfeed {
namespace {

bool has_plain_planes(const AVPixFmtDescriptor& format) {
  constexpr std::uint64_t kNotPlain =
      AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL | AV_PIX_FMT_FLAG_BE |
      AV_PIX_FMT_FLAG_BITSTREAM | AV_PIX_FMT_FLAG_HWACCEL |
      AV_PIX_FMT_FLAG_BAYER | AV_PIX_FMT_FLAG_FLOAT;
  return (format.flags & kNotPlain) == 0 && format.comp[0].depth >= 8 &&
         format.comp[0].depth <= 16;
}

// Samples of `comp` every `step` bytes, shifted down to their top 8 bits.
template <typename Sample>
cv::Mat gathered(const AVFrame& picture,
                 const AVComponentDescriptor& comp,
                 cv::Size size) {
  cv::Mat plane(size, CV_8UC1);
  const int down = comp.shift + comp.depth - 8;
  const int stride = comp.step / static_cast<int>(sizeof(Sample));
  for (int row = 0; row < size.height; ++row) {
    const auto* from = reinterpret_cast<const Sample*>(
        picture.data[comp.plane] +
        static_cast<std::ptrdiff_t>(row) * picture.linesize[comp.plane] +
        comp.offset);
    auto* to = plane.ptr<std::uint8_t>(row);
    if (stride == 1) {
      for (int i = 0; i < size.width; ++i) {
        to[i] = static_cast<std::uint8_t>(from[i] >> down);
      }
    } else {
      for (int i = 0; i < size.width; ++i) {
        to[i] = static_cast<std::uint8_t>(from[i * stride] >> down);
      }
    }
  }
  return plane;
}

cv::Mat plane_of(const AVFrame& picture,
                 const AVComponentDescriptor& comp,
                 cv::Size size) {
  if (comp.depth > 8) return gathered<std::uint16_t>(picture, comp, size);
  if (comp.step > 1 || picture.linesize[comp.plane] < 0) {
    return gathered<std::uint8_t>(picture, comp, size);
  }
  return cv::Mat(size,
                 CV_8UC1,
                 picture.data[comp.plane] + comp.offset,
                 static_cast<std::size_t>(picture.linesize[comp.plane]));
}

}  // namespace

PlaneReader::~PlaneReader() { sws_freeContext(scaler_); }

PicturePlanes PlaneReader::read(const AVFrame& picture) {
  PicturePlanes planes;
  const AVPixFmtDescriptor* format =
      av_pix_fmt_desc_get(static_cast<AVPixelFormat>(picture.format));
  if (format == nullptr) return planes;
  if (!has_plain_planes(*format)) {
    planes.luma = converted(picture);
    return planes;
  }
  const cv::Size size(picture.width, picture.height);
  planes.luma = plane_of(picture, format->comp[0], size);
  if (format->nb_components >= 3 && format->log2_chroma_w == 1 &&
      format->log2_chroma_h == 1) {
    const cv::Size half((size.width + 1) / 2, (size.height + 1) / 2);
    planes.blue = plane_of(picture, format->comp[1], half);
    planes.red = plane_of(picture, format->comp[2], half);
  }
  return planes;
}

cv::Mat PlaneReader::converted(const AVFrame& picture) {
  const auto format = static_cast<AVPixelFormat>(picture.format);
  if (!sws_isSupportedInput(format)) return {};
  scaler_ = sws_getCachedContext(scaler_,
                                 picture.width,
                                 picture.height,
                                 format,
                                 picture.width,
                                 picture.height,
                                 AV_PIX_FMT_GRAY8,
                                 SWS_POINT,
                                 nullptr,
                                 nullptr,
                                 nullptr);
  if (scaler_ == nullptr) return {};
  cv::Mat luma(picture.height, picture.width, CV_8UC1);
  std::uint8_t* const planes[4] = {luma.data, nullptr, nullptr, nullptr};
  const int strides[4] = {static_cast<int>(luma.step), 0, 0, 0};
  sws_scale(scaler_,
            picture.data,
            picture.linesize,
            0,
            picture.height,
            planes,
            strides);
  return luma;
}

}  // namespace evenfeed
