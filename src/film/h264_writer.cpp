// SPDX-License-Identifier: MIT
#include "film/h264_writer.h"

#include <cmath>
#include <cstring>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/opt.h>
}

#include "base/check.h"
#include "base/error.h"
#include "film/ffmpeg_fault.h"
#include "film/sound_track.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr AVRational kTimeBase{1, 90000};

void copy_plane(const std::vector<std::uint8_t>& from,
                std::uint8_t* to,
                int stride,
                int width,
                int height) {
  for (int v = 0; v < height; ++v) {
    std::memcpy(to + static_cast<std::ptrdiff_t>(v) * stride,
                from.data() + static_cast<std::ptrdiff_t>(v) * width,
                static_cast<std::size_t>(width));
  }
}

}  // namespace

struct H264Writer::Impl {
  std::string path;
  AVFormatContext* container = nullptr;
  AVCodecContext* encoder = nullptr;
  AVStream* stream = nullptr;
  AVFrame* frame = nullptr;
  AVPacket* packet = nullptr;
  SoundTrack* sound = nullptr;
  AVStream* sound_stream = nullptr;

  ~Impl() {
    av_packet_free(&packet);
    av_frame_free(&frame);
    avcodec_free_context(&encoder);
    if (container != nullptr) {
      avio_closep(&container->pb);
      avformat_free_context(container);
    }
  }

  void must(int code, std::string_view what) const {
    require_written(code, path, what);
  }

  void open_encoder(const H264Options& film) {
    const AVCodec* codec = avcodec_find_encoder_by_name("libx264");
    if (codec == nullptr) {
      throw InputError("libavcodec",
                       "the H.264 encoder libx264 is missing",
                       "Install an FFmpeg that has it");
    }
    encoder = avcodec_alloc_context3(codec);
    encoder->width = film.width_px;
    encoder->height = film.height_px;
    encoder->pix_fmt = AV_PIX_FMT_YUV420P;
    encoder->time_base = kTimeBase;
    encoder->framerate = av_d2q(film.rate_hz, 100000);
    encoder->gop_size = std::max(
        1, static_cast<int>(std::lround(film.keyframe_s * film.rate_hz)));
    encoder->max_b_frames = 0;  // as phones do
    encoder->color_range =
        film.colours.full_range ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG;
    say_colours(film.colours.matrix);
    if ((container->oformat->flags & AVFMT_GLOBALHEADER) != 0) {
      encoder->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    }
    AVDictionary* options = nullptr;
    av_dict_set(&options, "preset", "veryfast", 0);
    if (film.bitrate_mbps > 0) {
      encoder->bit_rate = std::llround(film.bitrate_mbps * 1e6);
      encoder->rc_max_rate = encoder->bit_rate * 3 / 2;
      encoder->rc_buffer_size = static_cast<int>(encoder->bit_rate);
    } else {
      av_dict_set(&options, "crf", fmt::format("{}", film.crf).c_str(), 0);
    }
    const int code = avcodec_open2(encoder, codec, &options);
    av_dict_free(&options);
    must(code, "opening the encoder");
  }

  void say_colours(ColourCode::Matrix matrix) {
    switch (matrix) {
      case ColourCode::Matrix::kBt601:
        encoder->colorspace = AVCOL_SPC_SMPTE170M;
        encoder->color_primaries = AVCOL_PRI_SMPTE170M;
        encoder->color_trc = AVCOL_TRC_SMPTE170M;
        return;
      case ColourCode::Matrix::kBt709:
        encoder->colorspace = AVCOL_SPC_BT709;
        encoder->color_primaries = AVCOL_PRI_BT709;
        encoder->color_trc = AVCOL_TRC_BT709;
        return;
      case ColourCode::Matrix::kBt2020:
        encoder->colorspace = AVCOL_SPC_BT2020_NCL;
        encoder->color_primaries = AVCOL_PRI_BT2020;
        encoder->color_trc = AVCOL_TRC_BT2020_10;
        return;
    }
  }

  // A file of a camera's own bears its name, and not that of the library that
  // wrote it.
  std::string name_camera(const std::string& camera) {
    if (camera.empty()) return "+faststart";
    container->flags |= AVFMT_FLAG_BITEXACT;
    av_dict_set(&container->metadata, "model", camera.c_str(), 0);
    return "+faststart+use_metadata_tags";
  }

  void open_file(const H264Options& film) {
    stream = avformat_new_stream(container, nullptr);
    must(avcodec_parameters_from_context(stream->codecpar, encoder),
         "describing the stream");
    stream->time_base = kTimeBase;
    stream->avg_frame_rate = encoder->framerate;
    if (sound != nullptr) {
      sound_stream = avformat_new_stream(container, nullptr);
      must(avcodec_parameters_copy(sound_stream->codecpar, &sound->coding()),
           "describing the sound");
      sound_stream->codecpar->codec_tag = 0;
      sound_stream->time_base = sound->time_base();
    }
    must(avio_open(&container->pb, path.c_str(), AVIO_FLAG_WRITE),
         "opening the file");
    AVDictionary* options = nullptr;
    av_dict_set(&options, "movflags", name_camera(film.camera).c_str(), 0);
    const int code = avformat_write_header(container, &options);
    av_dict_free(&options);
    must(code, "writing the header");
  }

  void drain() {
    while (true) {
      const int code = avcodec_receive_packet(encoder, packet);
      if (code == AVERROR(EAGAIN) || code == AVERROR_EOF) return;
      must(code, "encoding");
      av_packet_rescale_ts(packet, kTimeBase, stream->time_base);
      packet->stream_index = stream->index;
      write();
    }
  }

  // A full disk is told late: what the muxer writes goes through a buffer.
  void write() {
    must(av_interleaved_write_frame(container, packet), "writing");
    must(container->pb->error, "writing");
  }

  void write_sound() {
    if (sound == nullptr) return;
    while (sound->next(*packet)) {
      av_packet_rescale_ts(packet, sound->time_base(), sound_stream->time_base);
      packet->stream_index = sound_stream->index;
      packet->pos = -1;
      write();
    }
  }
};

void H264Options::check() const {
  require_in_range(width_px, 2, 16384, "width_px");
  require_in_range(height_px, 2, 16384, "height_px");
  require_positive(rate_hz, "rate_hz");
  require_in_range(crf, 0, 51, "crf");
  require_not_negative(bitrate_mbps, "bitrate_mbps");
  require_positive(keyframe_s, "keyframe_s");
}

H264Writer::H264Writer(const std::filesystem::path& path,
                       const H264Options& options,
                       SoundTrack* sound)
    : impl_(std::make_unique<Impl>()) {
  options.check();
  av_log_set_level(AV_LOG_ERROR);
  impl_->path = path.string();
  impl_->must(avformat_alloc_output_context2(
                  &impl_->container, nullptr, "mp4", impl_->path.c_str()),
              "making the container");
  impl_->sound = sound;
  impl_->open_encoder(options);
  impl_->open_file(options);
  impl_->packet = av_packet_alloc();
  impl_->frame = av_frame_alloc();
  impl_->frame->format = AV_PIX_FMT_YUV420P;
  impl_->frame->width = options.width_px;
  impl_->frame->height = options.height_px;
  impl_->must(av_frame_get_buffer(impl_->frame, 0), "reserving a frame");
}

H264Writer::~H264Writer() = default;

void H264Writer::add(const YuvPicture& picture, double t_s) {
  AVFrame* frame = impl_->frame;
  impl_->must(av_frame_make_writable(frame), "reserving a frame");
  const int width = picture.width_px;
  const int height = picture.height_px;
  copy_plane(picture.y, frame->data[0], frame->linesize[0], width, height);
  copy_plane(
      picture.u, frame->data[1], frame->linesize[1], width / 2, height / 2);
  copy_plane(
      picture.v, frame->data[2], frame->linesize[2], width / 2, height / 2);
  frame->pts = std::llround(t_s * kTimeBase.den);
  impl_->must(avcodec_send_frame(impl_->encoder, frame), "encoding");
  impl_->drain();
}

void H264Writer::finish() {
  impl_->must(avcodec_send_frame(impl_->encoder, nullptr), "encoding");
  impl_->drain();
  impl_->write_sound();
  impl_->must(av_write_trailer(impl_->container), "closing the file");
  avio_flush(impl_->container->pb);
  impl_->must(impl_->container->pb->error, "closing the file");
}

}  // namespace evenfeed
