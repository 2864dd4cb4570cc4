// SPDX-License-Identifier: MIT
#include "film/colours_of.h"

#include <algorithm>

extern "C" {
#include <libavutil/frame.h>
}

namespace evenfeed {

ColourCode colours_of(const AVFrame& picture) {
  ColourCode code;
  code.full_range = picture.color_range == AVCOL_RANGE_JPEG ||
                    picture.format == AV_PIX_FMT_YUVJ420P;
  constexpr int kHighDefinition_px = 720;
  switch (picture.colorspace) {
    case AVCOL_SPC_BT709:
      code.matrix = ColourCode::Matrix::kBt709;
      break;
    case AVCOL_SPC_BT2020_NCL:
    case AVCOL_SPC_BT2020_CL:
      code.matrix = ColourCode::Matrix::kBt2020;
      break;
    case AVCOL_SPC_BT470BG:
    case AVCOL_SPC_SMPTE170M:
      code.matrix = ColourCode::Matrix::kBt601;
      break;
    default:
      code.matrix = std::min(picture.width, picture.height) < kHighDefinition_px
                        ? ColourCode::Matrix::kBt601
                        : ColourCode::Matrix::kBt709;
  }
  return code;
}

}  // namespace evenfeed
