// SPDX-License-Identifier: MIT
#include "film/stream_packets.h"

#include <utility>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

namespace evenfeed {
namespace {

constexpr std::int64_t kMostBytes = 256LL << 20;

}  // namespace

void PacketFree::operator()(AVPacket* packet) const { av_packet_free(&packet); }

StreamShape::StreamShape(const AVStream& stream)
    : format_(avformat_alloc_context()) {
  AVStream* copy = avformat_new_stream(format_, nullptr);
  avcodec_parameters_copy(copy->codecpar, stream.codecpar);
  copy->time_base = stream.time_base;
  copy->avg_frame_rate = stream.avg_frame_rate;
  copy->r_frame_rate = stream.r_frame_rate;
  copy->sample_aspect_ratio = stream.sample_aspect_ratio;
}

StreamShape::~StreamShape() { avformat_free_context(format_); }

AVStream* StreamShape::stream() const { return format_->streams[0]; }

bool PacketLine::give(StreamPacket packet) {
  const std::lock_guard lock(mutex_);
  const bool key = (packet.packet->flags & AV_PKT_FLAG_KEY) != 0;
  const bool room = bytes_ + packet.packet->size <= kMostBytes;
  skipping_ = !room || (skipping_ && !key);
  if (skipping_) return false;
  bytes_ += packet.packet->size;
  packets_.push_back(std::move(packet));
  changed_.notify_all();
  return true;
}

void PacketLine::finish(std::exception_ptr failure) {
  const std::lock_guard lock(mutex_);
  failure_ = std::move(failure);
  finished_ = true;
  changed_.notify_all();
}

bool PacketLine::wait(std::unique_lock<std::mutex>& lock) {
  changed_.wait(lock, [&] { return finished_ || !packets_.empty(); });
  if (!packets_.empty()) return true;
  if (failure_) std::rethrow_exception(std::exchange(failure_, nullptr));
  return false;
}

std::optional<StreamPacket> PacketLine::take() {
  std::unique_lock lock(mutex_);
  if (!wait(lock)) return std::nullopt;
  std::optional<StreamPacket> packet(std::move(packets_.front()));
  packets_.pop_front();
  bytes_ -= packet->packet->size;
  return packet;
}

std::shared_ptr<const StreamShape> PacketLine::shape_of_next() {
  std::unique_lock lock(mutex_);
  return wait(lock) ? packets_.front().shape : nullptr;
}

}  // namespace evenfeed
