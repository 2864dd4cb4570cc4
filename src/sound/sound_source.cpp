// SPDX-License-Identifier: MIT
#include "sound/sound_source.h"

#include "film/sound_track.h"
#include "sound/sample_clock.h"

#include <cmath>
#include <cstdint>
#include <limits>

#include <fmt/format.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavutil/samplefmt.h>
}

namespace evenfeed {
namespace {

// From before the first picture (sound may begin earlier) to any end.
constexpr double kBefore_s = 60;
constexpr double kUntil_s = 1e6;

// Adds one channel to `sum`: every `step`-th value from `data` on.
template <typename T>
void add_channel(const std::uint8_t* data,
                 std::size_t first,
                 std::size_t step,
                 double zero,
                 double full,
                 std::vector<float>& sum) {
  const T* values = reinterpret_cast<const T*>(data);
  for (std::size_t i = 0; i < sum.size(); ++i) {
    const double value = static_cast<double>(values[first + i * step]);
    if (std::isfinite(value)) {
      sum[i] += static_cast<float>((value - zero) / full);
    }
  }
}

using AddChannel = void (*)(const std::uint8_t*,
                            std::size_t,
                            std::size_t,
                            double,
                            double,
                            std::vector<float>&);

struct SampleKind {
  AddChannel add = nullptr;
  double zero = 0;
  double full = 1;
};

SampleKind kind_of(AVSampleFormat format) {
  switch (av_get_packed_sample_fmt(format)) {
    case AV_SAMPLE_FMT_U8:
      return {add_channel<std::uint8_t>, 128, 128};
    case AV_SAMPLE_FMT_S16:
      return {add_channel<std::int16_t>, 0, 32768};
    case AV_SAMPLE_FMT_S32:
      return {add_channel<std::int32_t>, 0, 2147483648.0};
    case AV_SAMPLE_FMT_FLT:
      return {add_channel<float>, 0, 1};
    case AV_SAMPLE_FMT_DBL:
      return {add_channel<double>, 0, 1};
    default:
      return {};
  }
}

std::vector<float> mono(const AVFrame& frame) {
  const auto format = static_cast<AVSampleFormat>(frame.format);
  const SampleKind kind = kind_of(format);
  const auto channels = static_cast<std::size_t>(frame.ch_layout.nb_channels);
  std::vector<float> sum(static_cast<std::size_t>(frame.nb_samples), 0.0F);
  if (kind.add == nullptr || channels == 0) return sum;
  const bool planar = av_sample_fmt_is_planar(format) == 1;
  for (std::size_t c = 0; c < channels; ++c) {
    const std::uint8_t* data = frame.extended_data[planar ? c : 0];
    kind.add(data,
             planar ? 0 : c,
             planar ? 1 : channels,
             kind.zero,
             kind.full * static_cast<double>(channels),
             sum);
  }
  return sum;
}

}  // namespace

struct SoundSource::Impl {
  explicit Impl(const std::filesystem::path& film)
      : track(film, -kBefore_s, kUntil_s) {
    why_silent = open();
  }
  ~Impl() {
    av_frame_free(&frame);
    av_packet_free(&packet);
    avcodec_free_context(&codec);
  }

  std::string open() {
    if (!track.there()) return "the film has no sound";
    const AVCodecParameters& coding = track.coding();
    const AVCodec* decoder = avcodec_find_decoder(coding.codec_id);
    if (decoder == nullptr) {
      return fmt::format("there is no decoder for its sound ('{}')",
                         track.codec());
    }
    codec = avcodec_alloc_context3(decoder);
    avcodec_parameters_to_context(codec, &coding);
    // Without it the stamps would not move by the samples that are skipped.
    codec->pkt_timebase = track.time_base();
    if (avcodec_open2(codec, decoder, nullptr) < 0) {
      return fmt::format("its sound ('{}') cannot be decoded", track.codec());
    }
    packet = av_packet_alloc();
    frame = av_frame_alloc();
    tick_s = av_q2d(track.time_base());
    clock = SampleClock(tick_s);
    return "";
  }

  bool decode() {
    for (;;) {
      const int status = avcodec_receive_frame(codec, frame);
      if (status == 0) return true;
      if (status == AVERROR_EOF || ended) return false;
      // A packet that cannot be decoded is a gap, which the stamps show.
      if (track.next(*packet)) {
        avcodec_send_packet(codec, packet);
        av_packet_unref(packet);
      } else {
        ended = true;
        avcodec_send_packet(codec, nullptr);
      }
    }
  }

  SoundTrack track;
  std::string why_silent;
  AVCodecContext* codec = nullptr;
  AVPacket* packet = nullptr;
  AVFrame* frame = nullptr;
  double tick_s = 0;
  double rate_hz = 0;
  SampleClock clock{0};
  bool ended = false;
};

SoundSource::SoundSource(const std::filesystem::path& film)
    : impl_(std::make_unique<Impl>(film)) {}

SoundSource::~SoundSource() = default;

const std::string& SoundSource::why_silent() const { return impl_->why_silent; }

std::optional<SoundBlock> SoundSource::next() {
  if (!impl_->why_silent.empty()) return std::nullopt;
  do {
    if (!impl_->decode()) return std::nullopt;
  } while (impl_->frame->nb_samples <= 0 || impl_->frame->sample_rate <= 0);
  const AVFrame& frame = *impl_->frame;
  SoundBlock block;
  block.samples = mono(frame);
  block.rate_hz = frame.sample_rate;
  const double duration_s = frame.nb_samples / block.rate_hz;
  const std::int64_t stamp =
      frame.pts != AV_NOPTS_VALUE ? frame.pts : frame.best_effort_timestamp;
  const auto reading =
      stamp == AV_NOPTS_VALUE
          ? impl_->clock.unstamped(duration_s)
          : impl_->clock.stamped(
                static_cast<double>(stamp) * impl_->tick_s - kBefore_s,
                duration_s);
  block.t_s = reading.t_s;
  block.continues = reading.continues && block.rate_hz == impl_->rate_hz;
  impl_->rate_hz = block.rate_hz;
  return block;
}

}  // namespace evenfeed
