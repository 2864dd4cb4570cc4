// SPDX-License-Identifier: MIT
#include "film/colour_picture.h"

#include "base/check.h"

#include <cstring>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

struct Weights {
  float kr, kb;
  float kg() const { return 1 - kr - kb; }
};

Weights weights(ColourCode::Matrix matrix) {
  switch (matrix) {
    case ColourCode::Matrix::kBt601:
      return {0.299F, 0.114F};
    case ColourCode::Matrix::kBt709:
      return {0.2126F, 0.0722F};
    case ColourCode::Matrix::kBt2020:
      return {0.2627F, 0.0593F};
  }
  return {};
}

// Steps of the stored planes for black to white, and for the colours.
struct Steps {
  float black, luma, colour;
};

Steps steps(const ColourCode& code) {
  return code.full_range ? Steps{0, 255, 255} : Steps{16, 219, 224};
}

std::vector<std::uint8_t> bytes_of(const cv::Mat& plane, cv::Size size) {
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(size.area()));
  for (int v = 0; v < size.height; ++v) {
    std::memcpy(bytes.data() + static_cast<std::ptrdiff_t>(v) * size.width,
                plane.ptr(v),
                static_cast<std::size_t>(size.width));
  }
  return bytes;
}

std::uint8_t byte(float value) {
  return cv::saturate_cast<std::uint8_t>(value);
}

}  // namespace

cv::Mat colour_picture(const Frame& frame,
                       const cv::Rect& area,
                       const ColourCode& code) {
  require((area & cv::Rect({}, frame.luma.size())) == area,
          "colour_picture: the area leaves the frame");
  const Weights k = weights(code.matrix);
  const Steps step = steps(code);
  const bool grey = frame.blue.empty() || frame.red.empty();
  cv::Mat picture(area.size(), CV_8UC3);
  for (int v = 0; v < area.height; ++v) {
    const int row = area.y + v;
    const std::uint8_t* luma = frame.luma.ptr(row);
    const std::uint8_t* blue = grey ? nullptr : frame.blue.ptr(row / 2);
    const std::uint8_t* red = grey ? nullptr : frame.red.ptr(row / 2);
    cv::Vec3b* out = picture.ptr<cv::Vec3b>(v);
    for (int u = 0; u < area.width; ++u) {
      const int column = area.x + u;
      const float y =
          255 * (static_cast<float>(luma[column]) - step.black) / step.luma;
      float cb = 0;
      float cr = 0;
      if (!grey) {
        const float scale = 255 / step.colour;
        cb = (static_cast<float>(blue[column / 2]) - 128) * scale;
        cr = (static_cast<float>(red[column / 2]) - 128) * scale;
      }
      const float r = y + 2 * (1 - k.kr) * cr;
      const float b = y + 2 * (1 - k.kb) * cb;
      const float g = (y - k.kr * r - k.kb * b) / k.kg();
      out[u] = {byte(b), byte(g), byte(r)};
    }
  }
  return picture;
}

cv::Mat colour_picture(const Frame& frame, const ColourCode& code) {
  return colour_picture(frame, cv::Rect({}, frame.luma.size()), code);
}

YuvPicture yuv_of(const Frame& frame) {
  const cv::Size half(frame.luma.cols / 2, frame.luma.rows / 2);
  const cv::Size size(2 * half.width, 2 * half.height);
  YuvPicture picture{size.width, size.height, {}, {}, {}};
  picture.y = bytes_of(frame.luma, size);
  if (frame.blue.empty() || frame.red.empty()) {
    picture.u.assign(static_cast<std::size_t>(half.area()), 128);
    picture.v = picture.u;
    return picture;
  }
  picture.u = bytes_of(frame.blue, half);
  picture.v = bytes_of(frame.red, half);
  return picture;
}

YuvPicture yuv_of(const cv::Mat& picture, const ColourCode& code) {
  require(picture.type() == CV_8UC3 && picture.cols % 2 == 0 &&
              picture.rows % 2 == 0,
          "yuv_of: a colour picture of an even size is needed");
  const Weights k = weights(code.matrix);
  const Steps step = steps(code);
  const auto half = static_cast<std::size_t>(picture.total() / 4);
  YuvPicture out{picture.cols, picture.rows, {}, {}, {}};
  out.y.resize(picture.total());
  out.u.resize(half);
  out.v.resize(half);
  std::size_t at = 0;
  for (int v = 0; v < picture.rows; v += 2) {
    for (int u = 0; u < picture.cols; u += 2) {
      float cb = 0;
      float cr = 0;
      for (int i = 0; i < 4; ++i) {
        const int row = v + i / 2;
        const int column = u + i % 2;
        const auto& c = picture.at<cv::Vec3b>(row, column);
        const float y = k.kr * static_cast<float>(c[2]) +
                        k.kg() * static_cast<float>(c[1]) +
                        k.kb * static_cast<float>(c[0]);
        out.y[static_cast<std::size_t>(row) * picture.cols + column] =
            byte(step.black + y * step.luma / 255);
        cb += (static_cast<float>(c[0]) - y) / (8 * (1 - k.kb));
        cr += (static_cast<float>(c[2]) - y) / (8 * (1 - k.kr));
      }
      out.u[at] = byte(128 + cb * step.colour / 255);
      out.v[at] = byte(128 + cr * step.colour / 255);
      ++at;
    }
  }
  return out;
}

}  // namespace evenfeed
