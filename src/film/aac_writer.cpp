// SPDX-License-Identifier: MIT
#include "film/aac_writer.h"

#include "base/check.h"
#include "film/ffmpeg_fault.h"

#include <algorithm>
#include <cmath>
#include <string>

#include <fmt/format.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace evenfeed {
namespace {

class AacFile {
 public:
  AacFile(const std::filesystem::path& path, const AacOptions& options)
      : path_(path.string()) {
    av_log_set_level(AV_LOG_ERROR);
    must(avformat_alloc_output_context2(
        &container_, nullptr, "mp4", path_.c_str()));
    const AVCodec* codec = avcodec_find_encoder_by_name("aac");
    must(codec != nullptr ? 0 : AVERROR_ENCODER_NOT_FOUND);
    encoder_ = avcodec_alloc_context3(codec);
    encoder_->sample_rate = options.rate_hz;
    encoder_->sample_fmt = AV_SAMPLE_FMT_FLTP;
    encoder_->bit_rate = std::llround(options.bitrate_kbps * 1e3);
    av_channel_layout_default(&encoder_->ch_layout, 1);
    encoder_->time_base = {1, options.rate_hz};
    if ((container_->oformat->flags & AVFMT_GLOBALHEADER) != 0) {
      encoder_->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
    }
    must(avcodec_open2(encoder_, codec, nullptr));
    stream_ = avformat_new_stream(container_, nullptr);
    must(avcodec_parameters_from_context(stream_->codecpar, encoder_));
    stream_->time_base = encoder_->time_base;
    must(avio_open(&container_->pb, path_.c_str(), AVIO_FLAG_WRITE));
    must(avformat_write_header(container_, nullptr));
    packet_ = av_packet_alloc();
    frame_ = av_frame_alloc();
  }
  AacFile(const AacFile&) = delete;
  AacFile& operator=(const AacFile&) = delete;
  ~AacFile() {
    av_frame_free(&frame_);
    av_packet_free(&packet_);
    avcodec_free_context(&encoder_);
    if (container_ != nullptr) {
      avio_closep(&container_->pb);
      avformat_free_context(container_);
    }
  }

  void write(const std::vector<float>& samples) {
    const auto size = static_cast<std::size_t>(encoder_->frame_size);
    for (std::size_t from = 0; from < samples.size(); from += size) {
      const std::size_t count = std::min(size, samples.size() - from);
      fill_frame(samples.data() + from, count);
      frame_->pts = static_cast<std::int64_t>(from);
      must(avcodec_send_frame(encoder_, frame_));
      drain();
    }
    must(avcodec_send_frame(encoder_, nullptr));
    drain();
    must(av_write_trailer(container_));
    avio_flush(container_->pb);
    must(container_->pb->error);
  }

 private:
  void must(int code) const {
    require_written(code, path_, "writing the sound");
  }

  void fill_frame(const float* samples, std::size_t count) {
    av_frame_unref(frame_);
    frame_->format = encoder_->sample_fmt;
    frame_->sample_rate = encoder_->sample_rate;
    frame_->nb_samples = static_cast<int>(count);
    must(av_channel_layout_copy(&frame_->ch_layout, &encoder_->ch_layout));
    must(av_frame_get_buffer(frame_, 0));
    std::copy_n(samples, count, reinterpret_cast<float*>(frame_->data[0]));
  }

  void drain() {
    for (;;) {
      const int code = avcodec_receive_packet(encoder_, packet_);
      if (code == AVERROR(EAGAIN) || code == AVERROR_EOF) return;
      must(code);
      av_packet_rescale_ts(packet_, encoder_->time_base, stream_->time_base);
      packet_->stream_index = stream_->index;
      must(av_interleaved_write_frame(container_, packet_));
    }
  }

  std::string path_;
  AVFormatContext* container_ = nullptr;
  AVCodecContext* encoder_ = nullptr;
  AVStream* stream_ = nullptr;
  AVPacket* packet_ = nullptr;
  AVFrame* frame_ = nullptr;
};

}  // namespace

void AacOptions::check() const {
  require_in_range(rate_hz, 8000, 96000, "rate_hz");
  require_in_range(bitrate_kbps, 8, 512, "bitrate_kbps");
}

void write_aac(const std::filesystem::path& path,
               const std::vector<float>& samples,
               const AacOptions& options) {
  options.check();
  AacFile(path, options).write(samples);
}

}  // namespace evenfeed
