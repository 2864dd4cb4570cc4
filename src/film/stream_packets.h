// SPDX-License-Identifier: MIT
// Packets of a stream with their times, between the thread that reads and the
// one that decodes. Internal to film.
#pragma once

#include "film/video_decoder.h"

#include <condition_variable>
#include <cstdint>
#include <deque>
#include <exception>
#include <memory>
#include <mutex>
#include <optional>

namespace evenfeed {

struct PacketFree {
  void operator()(AVPacket* packet) const;
};
using PacketPtr = std::unique_ptr<AVPacket, PacketFree>;

/// What a stretch of packets is of: a copy that outlives the stream.
class StreamShape {
 public:
  explicit StreamShape(const AVStream& stream);
  ~StreamShape();
  StreamShape(const StreamShape&) = delete;
  StreamShape& operator=(const StreamShape&) = delete;
  AVFormatContext* format() const { return format_; }
  AVStream* stream() const;

 private:
  AVFormatContext* format_ = nullptr;
};

struct StreamPacket {
  std::shared_ptr<const StreamShape> shape;
  PacketPtr packet;  ///< stamps in microseconds
  double error_s = 0;
  bool doubtful = false;
};

/// Unbounded in number, bounded in bytes; who gives never waits.
class PacketLine {
 public:
  /// False when there was no room: it is lost, and all up to the next key
  /// picture with it.
  bool give(StreamPacket packet);
  void finish(std::exception_ptr failure = nullptr);
  /// Waits. nullopt after the last; throws the giver's failure then.
  std::optional<StreamPacket> take();
  /// The same, but leaves it there: null when there are none any more.
  std::shared_ptr<const StreamShape> shape_of_next();

 private:
  bool wait(std::unique_lock<std::mutex>& lock);

  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<StreamPacket> packets_;
  std::int64_t bytes_ = 0;
  bool skipping_ = false;
  bool finished_ = false;
  std::exception_ptr failure_;
};

}  // namespace evenfeed
