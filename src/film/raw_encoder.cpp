// SPDX-License-Identifier: MIT
#include "film/raw_encoder.h"

#include "base/error.h"

#include <algorithm>
#include <cmath>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libswscale/swscale.h>
}

namespace evenfeed {
namespace {

constexpr AVRational kEncoderTicks{1, 1000000};
constexpr const char* kQuality = "14";  // no difference is seen at it
constexpr double kUsualRate_hz = 30;

}  // namespace

struct RawEncoder::Impl {
  AVCodecContext* reader = nullptr;
  AVCodecContext* encoder = nullptr;
  AVCodecParameters* coding = nullptr;
  AVFrame* raw = av_frame_alloc();
  AVFrame* frame = av_frame_alloc();
  SwsContext* scaler = nullptr;

  ~Impl() {
    avcodec_free_context(&reader);
    avcodec_free_context(&encoder);
    avcodec_parameters_free(&coding);
    av_frame_free(&raw);
    av_frame_free(&frame);
    sws_freeContext(scaler);
  }

  static void must(bool done) {
    if (done) return;
    throw InputError("libavcodec",
                     "raw pictures cannot be encoded: the encoder libx264 is "
                     "missing or refuses them",
                     "Install an FFmpeg that has it, or let the camera send "
                     "compressed pictures");
  }

  void open(const AVCodecParameters& from, double rate_hz) {
    const AVCodec* decoder = avcodec_find_decoder(from.codec_id);
    const AVCodec* codec = avcodec_find_encoder_by_name("libx264");
    must(decoder != nullptr && codec != nullptr);
    reader = avcodec_alloc_context3(decoder);
    avcodec_parameters_to_context(reader, &from);
    must(avcodec_open2(reader, decoder, nullptr) >= 0);
    const double rate = rate_hz > 0 ? rate_hz : kUsualRate_hz;
    encoder = avcodec_alloc_context3(codec);
    encoder->width = from.width / 2 * 2;
    encoder->height = from.height / 2 * 2;
    encoder->pix_fmt = AV_PIX_FMT_YUV420P;
    encoder->time_base = kEncoderTicks;
    encoder->framerate = av_d2q(rate, 100000);
    encoder->gop_size = std::max(1, static_cast<int>(std::lround(rate)));
    encoder->max_b_frames = 0;
    encoder->color_range = from.color_range;
    encoder->colorspace = from.color_space;
    encoder->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    AVDictionary* words = nullptr;
    av_dict_set(&words, "preset", "ultrafast", 0);
    av_dict_set(&words, "tune", "zerolatency", 0);
    av_dict_set(&words, "crf", kQuality, 0);
    const int code = avcodec_open2(encoder, codec, &words);
    av_dict_free(&words);
    must(code >= 0);
    coding = avcodec_parameters_alloc();
    avcodec_parameters_from_context(coding, encoder);
    frame->format = encoder->pix_fmt;
    frame->width = encoder->width;
    frame->height = encoder->height;
    must(av_frame_get_buffer(frame, 0) >= 0);
  }

  void encode(std::int64_t pts_us) {
    scaler = sws_getCachedContext(scaler,
                                  frame->width,
                                  frame->height,
                                  static_cast<AVPixelFormat>(raw->format),
                                  frame->width,
                                  frame->height,
                                  AV_PIX_FMT_YUV420P,
                                  SWS_BILINEAR,
                                  nullptr,
                                  nullptr,
                                  nullptr);
    must(scaler != nullptr && av_frame_make_writable(frame) >= 0);
    sws_scale(scaler,
              raw->data,
              raw->linesize,
              0,
              frame->height,
              frame->data,
              frame->linesize);
    frame->pts = pts_us;
    must(avcodec_send_frame(encoder, frame) >= 0);
  }
};

RawEncoder::RawEncoder(const AVCodecParameters& raw, double rate_hz)
    : impl_(std::make_unique<Impl>()) {
  impl_->open(raw, rate_hz);
}

RawEncoder::~RawEncoder() = default;

const AVCodecParameters& RawEncoder::coding() const { return *impl_->coding; }

void RawEncoder::add(const AVPacket& packet, std::int64_t pts_us) {
  if (avcodec_send_packet(impl_->reader, &packet) < 0) return;
  while (avcodec_receive_frame(impl_->reader, impl_->raw) >= 0) {
    impl_->encode(pts_us);
    av_frame_unref(impl_->raw);
  }
}

void RawEncoder::finish() { avcodec_send_frame(impl_->encoder, nullptr); }

bool RawEncoder::take(AVPacket& packet) {
  return avcodec_receive_packet(impl_->encoder, &packet) >= 0;
}

}  // namespace evenfeed
