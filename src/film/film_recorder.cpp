// SPDX-License-Identifier: MIT
#include "film/film_recorder.h"

#include "base/error.h"
#include "film/ffmpeg_fault.h"
#include "film/raw_encoder.h"

#include <algorithm>
#include <chrono>
#include <cstring>
#include <ctime>

#include <fcntl.h>
#include <unistd.h>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

#include <fmt/chrono.h>
#include <fmt/format.h>

namespace evenfeed {
namespace {

using Clock = std::chrono::steady_clock;

constexpr AVRational kMicroseconds{1, 1000000};
// A piece of the film is whole and in the file so often,
constexpr const char* kPiece_ms = "500";
// and on the disk so often.
constexpr std::chrono::seconds kSync{1};

bool same_coding(const AVCodecParameters& a, const AVCodecParameters& b) {
  return a.codec_id == b.codec_id && a.width == b.width &&
         a.height == b.height && a.format == b.format &&
         a.extradata_size == b.extradata_size &&
         (a.extradata_size == 0 ||
          std::memcmp(a.extradata,
                      b.extradata,
                      static_cast<std::size_t>(a.extradata_size)) == 0);
}

}  // namespace

struct FilmRecorder::Impl {
  std::string path;
  AVFormatContext* container = nullptr;
  AVStream* out = nullptr;
  AVPacket* packet = nullptr;
  AVCodecParameters* from = nullptr;
  std::unique_ptr<RawEncoder> encoder;
  std::int64_t last_dts = AV_NOPTS_VALUE;
  int disk = -1;
  Clock::time_point synced = Clock::now();
  bool begun = false;
  bool finished = false;

  ~Impl() {
    av_packet_free(&packet);
    avcodec_parameters_free(&from);
    if (container != nullptr) {
      avio_closep(&container->pb);
      avformat_free_context(container);
    }
    if (disk >= 0) close(disk);
  }

  void must(int code, std::string_view what) const {
    require_written(code, path, what);
  }

  void open(const AVStream& stream, double rate_hz) {
    must(avformat_alloc_output_context2(
             &container, nullptr, "matroska", path.c_str()),
         "making the container");
    out = avformat_new_stream(container, nullptr);
    from = avcodec_parameters_alloc();
    avcodec_parameters_copy(from, stream.codecpar);
    if (from->codec_id == AV_CODEC_ID_RAWVIDEO) {
      encoder = std::make_unique<RawEncoder>(*from, rate_hz);
      must(avcodec_parameters_copy(out->codecpar, &encoder->coding()),
           "describing the stream");
    } else {
      must(avcodec_parameters_copy(out->codecpar, from),
           "describing the stream");
    }
    out->codecpar->codec_tag = 0;
    out->sample_aspect_ratio = stream.sample_aspect_ratio;
    if (rate_hz > 0) out->avg_frame_rate = av_d2q(rate_hz, 100000);
    out->time_base = {1, 1000};
    must(avio_open(&container->pb, path.c_str(), AVIO_FLAG_WRITE),
         "opening the file");
    const std::string now = fmt::format("{:%Y-%m-%dT%H:%M:%S}.000000Z",
                                        fmt::gmtime(std::time(nullptr)));
    av_dict_set(&container->metadata, "creation_time", now.c_str(), 0);
    container->flags |= AVFMT_FLAG_FLUSH_PACKETS;
    AVDictionary* words = nullptr;
    av_dict_set(&words, "cluster_time_limit", kPiece_ms, 0);
    const int code = avformat_write_header(container, &words);
    av_dict_free(&words);
    must(code, "writing the header");
    begun = true;
    packet = av_packet_alloc();
    disk = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  }

  // Takes the packet's stamps in microseconds, and its content.
  void write() {
    std::int64_t dts = packet->dts;
    if (last_dts != AV_NOPTS_VALUE) dts = std::max(dts, last_dts + 1);
    last_dts = dts;
    packet->dts = dts;
    packet->pts = std::max(packet->pts, dts);
    packet->stream_index = 0;
    packet->pos = -1;
    av_packet_rescale_ts(packet, kMicroseconds, out->time_base);
    must(av_write_frame(container, packet), "writing");
    av_packet_unref(packet);
    must(container->pb->error, "writing");
    if (Clock::now() - synced < kSync) return;
    synced = Clock::now();
    if (disk >= 0) fdatasync(disk);
  }

  void drain() {
    while (encoder->take(*packet)) write();
  }

  void finish() {
    if (!begun || finished) return;
    finished = true;
    if (encoder) {
      encoder->finish();
      drain();
    }
    must(av_write_trailer(container), "closing the film");
    avio_flush(container->pb);
    must(container->pb->error, "closing the film");
    if (disk >= 0) fdatasync(disk);
  }
};

FilmRecorder::FilmRecorder(const std::filesystem::path& file,
                           const AVStream& stream,
                           double rate_hz)
    : impl_(std::make_unique<Impl>()) {
  impl_->path = file.string();
  impl_->open(stream, rate_hz);
}

FilmRecorder::~FilmRecorder() {
  try {
    impl_->finish();
  } catch (const InputError&) {  // the film plays without its end
  }
}

bool FilmRecorder::takes(const AVStream& stream) const {
  return !impl_->finished && same_coding(*impl_->from, *stream.codecpar);
}

void FilmRecorder::add(const AVPacket& packet,
                       std::int64_t pts_us,
                       std::int64_t dts_us) {
  if (impl_->encoder) {
    impl_->encoder->add(packet, pts_us);
    impl_->drain();
    return;
  }
  impl_->must(av_packet_ref(impl_->packet, &packet), "reserving a packet");
  impl_->packet->pts = pts_us;
  impl_->packet->dts = dts_us;
  impl_->write();
}

void FilmRecorder::flush() {
  impl_->must(av_write_frame(impl_->container, nullptr), "writing");
  avio_flush(impl_->container->pb);
}

void FilmRecorder::finish() { impl_->finish(); }

}  // namespace evenfeed
