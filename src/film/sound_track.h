// SPDX-License-Identifier: MIT
// A stretch of a film's sound, as the film has it coded: for a film cut out of
// it. Internal to film, and for h264_writer.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

struct AVCodecParameters;
struct AVPacket;
struct AVRational;

namespace evenfeed {

class SoundTrack {
 public:
  /// From `from_s` to `until_s` after the film's first picture, in the time it
  /// plays in. Packets (about 20 ms each) are taken whole.
  SoundTrack(const std::filesystem::path& film, double from_s, double until_s);
  ~SoundTrack();

  /// The film has sound, and MP4 can hold it as it is coded.
  bool usable() const;
  /// The film has sound.
  bool there() const;
  /// What it is coded with: "aac".
  std::string codec() const;

  const AVCodecParameters& coding() const;
  AVRational time_base() const;
  /// The next packet, stamped from `from_s` on; false at the end.
  bool next(AVPacket& packet);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
