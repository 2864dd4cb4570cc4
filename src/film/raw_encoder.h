// SPDX-License-Identifier: MIT
// A capture device's raw pictures as H.264, quick and nearly as they were: what
// they would fill a disk with in minutes. Internal to film.
#pragma once

#include <cstdint>
#include <memory>

struct AVCodecParameters;
struct AVPacket;

namespace evenfeed {

class RawEncoder {
 public:
  /// Throws InputError when no encoder is there.
  RawEncoder(const AVCodecParameters& raw, double rate_hz);
  ~RawEncoder();
  RawEncoder(const RawEncoder&) = delete;
  RawEncoder& operator=(const RawEncoder&) = delete;

  const AVCodecParameters& coding() const;
  /// Stamp in microseconds. A packet that is no picture is left out.
  void add(const AVPacket& packet, std::int64_t pts_us);
  void finish();
  /// The next encoded packet, stamps in microseconds; false when there is none
  /// yet.
  [[nodiscard]] bool take(AVPacket& packet);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
