// SPDX-License-Identifier: MIT
#include "film/stream_source.h"

#include "base/error.h"
#include "film/stream_reader.h"
#include "film/video_decoder.h"

#include <atomic>
#include <cmath>
#include <set>
#include <utility>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

#include <fmt/format.h>

namespace evenfeed {
namespace {

// The packets of one stretch, until the stream is another.
class Stretch : public PacketGiver {
 public:
  Stretch(PacketLine& line, std::shared_ptr<const StreamShape> shape)
      : line_(line), shape_(std::move(shape)) {}

  AVFormatContext* format() const override { return shape_->format(); }
  AVStream* stream() const override { return shape_->stream(); }

  int read(AVPacket* packet) override {
    if (line_.shape_of_next() != shape_) return AVERROR_EOF;
    std::optional<StreamPacket> next = line_.take();
    if (next->doubtful) doubtful_.insert(next->packet->pts);
    error_s = next->error_s;
    av_packet_move_ref(packet, next->packet.get());
    packet->stream_index = stream()->index;
    return 0;
  }

  /// Once each.
  bool take_doubtful(double t_s) {
    return doubtful_.erase(std::llround(1e6 * t_s)) > 0;
  }

  double error_s = 0;

 private:
  PacketLine& line_;
  std::shared_ptr<const StreamShape> shape_;
  std::set<std::int64_t> doubtful_;
};

}  // namespace

struct StreamSource::Impl {
  StreamPlan plan;
  StreamReader reader;
  VideoInfo info;
  std::unique_ptr<Stretch> stretch;
  std::unique_ptr<VideoDecoder> decoder;
  std::atomic<double> error_s{0};
  int next_index;
  int doubtful = 0;
  std::vector<std::string> notes;

  Impl(const StreamPlan& given, const std::atomic<bool>& stop)
      : plan(given), reader(given, stop), next_index(given.begin_index) {
    // Frames in threads would each come a few pictures later.
    plan.video.decoder_threads = 1;
    if (!open_stretch()) {
      throw InputError(plan.stream.address,
                       "it ended before the first picture",
                       "See that the camera runs and sends");
    }
    info = decoder->info();
  }

  // False when there is nothing any more.
  bool open_stretch() {
    decoder.reset();
    while (!decoder) {
      const auto shape = reader.packets().shape_of_next();
      if (!shape) return false;
      stretch = std::make_unique<Stretch>(reader.packets(), shape);
      try {
        decoder = std::make_unique<VideoDecoder>(
            *stretch, plan.stream.address, plan.video);
      } catch (const InputError&) {
        // It was gone again before a whole picture had come.
        if (info.width_px == 0) throw;
      }
    }
    const VideoInfo& now = decoder->info();
    if (info.width_px > 0 &&
        (now.width_px != info.width_px || now.height_px != info.height_px)) {
      throw InputError(plan.stream.address,
                       fmt::format("the picture came back as {} x {}, it was "
                                   "{} x {}",
                                   now.width_px,
                                   now.height_px,
                                   info.width_px,
                                   info.height_px),
                       "Set the camera as it was");
    }
    return true;
  }

  std::optional<Frame> next() {
    for (;;) {
      std::optional<Frame> frame = decoder->next();
      if (!frame) {
        for (std::string& words : decoder->notes()) {
          notes.push_back(std::move(words));
        }
        if (!open_stretch()) return std::nullopt;
        continue;
      }
      error_s = stretch->error_s;
      if (stretch->take_doubtful(frame->t_s)) {
        ++doubtful;
        continue;
      }
      frame->index = next_index++;
      return frame;
    }
  }
};

StreamSource::StreamSource(const StreamPlan& plan,
                           const std::atomic<bool>& stop)
    : impl_(std::make_unique<Impl>(plan, stop)) {}
StreamSource::~StreamSource() = default;

const VideoInfo& StreamSource::info() const { return impl_->info; }
std::optional<Frame> StreamSource::next() { return impl_->next(); }
double StreamSource::newest_s() const { return impl_->reader.newest_s(); }
double StreamSource::clock_error_s() const { return impl_->error_s; }
void StreamSource::wait_for_film(double length_s) {
  impl_->reader.wait_for_film(length_s);
}
void StreamSource::close() { impl_->reader.close(); }

std::vector<std::string> StreamSource::notes() const {
  std::vector<std::string> all = impl_->reader.notes();
  all.insert(all.end(), impl_->notes.begin(), impl_->notes.end());
  if (impl_->doubtful > 0) {
    all.push_back(
        fmt::format("{} pictures whose time is doubtful were not "
                    "measured",
                    impl_->doubtful));
  }
  return all;
}

std::vector<std::filesystem::path> StreamSource::films() const {
  return impl_->reader.films();
}

}  // namespace evenfeed
