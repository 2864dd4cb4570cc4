// SPDX-License-Identifier: MIT
#include "film/svg_picture.h"

#include <cstring>
#include <memory>

#include <opencv2/imgproc.hpp>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavutil/opt.h>
}

namespace evenfeed {
namespace {

struct Free {
  void operator()(AVCodecContext* one) const { avcodec_free_context(&one); }
  void operator()(AVPacket* one) const { av_packet_free(&one); }
  void operator()(AVFrame* one) const { av_frame_free(&one); }
};

}  // namespace

std::optional<cv::Mat> picture_of_svg(const std::string& svg, int width_px) {
  const AVCodec* codec = avcodec_find_decoder(AV_CODEC_ID_SVG);
  if (codec == nullptr || svg.empty()) return std::nullopt;
  const std::unique_ptr<AVCodecContext, Free> decoder(
      avcodec_alloc_context3(codec));
  const std::unique_ptr<AVPacket, Free> packet(av_packet_alloc());
  const std::unique_ptr<AVFrame, Free> frame(av_frame_alloc());
  if (!decoder || !packet || !frame) return std::nullopt;
  av_log_set_level(AV_LOG_ERROR);
  av_opt_set_int(decoder.get(), "width", width_px, AV_OPT_SEARCH_CHILDREN);
  if (avcodec_open2(decoder.get(), codec, nullptr) < 0) return std::nullopt;
  const int size = static_cast<int>(svg.size());
  if (av_new_packet(packet.get(), size) < 0) return std::nullopt;
  std::memcpy(packet->data, svg.data(), svg.size());
  if (avcodec_send_packet(decoder.get(), packet.get()) < 0 ||
      avcodec_receive_frame(decoder.get(), frame.get()) < 0 ||
      frame->format != AV_PIX_FMT_RGB32) {
    return std::nullopt;
  }
  const cv::Mat four(frame->height,
                     frame->width,
                     CV_8UC4,
                     frame->data[0],
                     static_cast<std::size_t>(frame->linesize[0]));
  cv::Mat picture;
  cv::cvtColor(four, picture, cv::COLOR_BGRA2BGR);
  return picture;
}

}  // namespace evenfeed
