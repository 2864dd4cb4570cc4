// SPDX-License-Identifier: MIT
#include "film/sound_track.h"

#include <cmath>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace evenfeed {

struct SoundTrack::Impl {
  AVFormatContext* input = nullptr;
  AVStream* stream = nullptr;
  std::int64_t from = 0;  // in the sound's ticks
  std::int64_t until = 0;

  ~Impl() { avformat_close_input(&input); }

  void open(const std::filesystem::path& film) {
    const std::string address = "file:" + film.string();
    if (avformat_open_input(&input, address.c_str(), nullptr, nullptr) < 0 ||
        avformat_find_stream_info(input, nullptr) < 0) {
      return;
    }
    const int sound =
        av_find_best_stream(input, AVMEDIA_TYPE_AUDIO, -1, -1, nullptr, 0);
    if (sound >= 0) stream = input->streams[sound];
  }

  // Where the first picture stands; the times of pictures count from there.
  double first_picture_s() const {
    const int picture =
        av_find_best_stream(input, AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
    if (picture < 0) return 0;
    const AVStream& track = *input->streams[picture];
    if (track.start_time == AV_NOPTS_VALUE) return 0;
    return static_cast<double>(track.start_time) * av_q2d(track.time_base);
  }

  void seek(double from_s, double until_s) {
    const double tick_s = av_q2d(stream->time_base);
    const double start_s = first_picture_s();
    from = std::llround((start_s + from_s) / tick_s);
    until = std::llround((start_s + until_s) / tick_s);
    for (unsigned i = 0; i < input->nb_streams; ++i) {
      if (input->streams[i] != stream) {
        input->streams[i]->discard = AVDISCARD_ALL;
      }
    }
    // A demuxer that was sent to the beginning may forget what the coder's
    // first samples are to be skipped by; it stands there anyway.
    if (from_s < 0) return;
    av_seek_frame(input, stream->index, from, AVSEEK_FLAG_BACKWARD);
  }
};

SoundTrack::SoundTrack(const std::filesystem::path& film,
                       double from_s,
                       double until_s)
    : impl_(std::make_unique<Impl>()) {
  impl_->open(film);
  if (there()) impl_->seek(from_s, until_s);
}

SoundTrack::~SoundTrack() = default;

bool SoundTrack::there() const { return impl_->stream != nullptr; }

bool SoundTrack::usable() const {
  if (!there()) return false;
  const AVOutputFormat* mp4 = av_guess_format("mp4", nullptr, nullptr);
  return mp4 != nullptr &&
         avformat_query_codec(mp4, coding().codec_id, FF_COMPLIANCE_NORMAL) ==
             1;
}

std::string SoundTrack::codec() const {
  return there() ? avcodec_get_name(coding().codec_id) : "";
}

const AVCodecParameters& SoundTrack::coding() const {
  return *impl_->stream->codecpar;
}

AVRational SoundTrack::time_base() const { return impl_->stream->time_base; }

bool SoundTrack::next(AVPacket& packet) {
  while (av_read_frame(impl_->input, &packet) >= 0) {
    const bool ours = packet.stream_index == impl_->stream->index &&
                      packet.pts != AV_NOPTS_VALUE;
    if (ours && packet.pts >= impl_->until) break;
    // One that began before and sounds on belongs to it; that it begins before
    // the pictures is for the film's edit list.
    if (ours && packet.pts + packet.duration > impl_->from) {
      packet.pts -= impl_->from;
      packet.dts = packet.pts;
      return true;
    }
    av_packet_unref(&packet);
  }
  av_packet_unref(&packet);
  return false;
}

}  // namespace evenfeed
