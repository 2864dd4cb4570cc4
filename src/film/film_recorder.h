// SPDX-License-Identifier: MIT
// A stream's packets into Matroska as they come, not encoded again; a film that
// is cut off anywhere, by a power cut too, plays up to half a second before
// that. Raw pictures are encoded (H.264) first.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>

struct AVPacket;
struct AVStream;

namespace evenfeed {

class FilmRecorder {
 public:
  /// Throws InputError when the file cannot be made. `stream`: what its packets
  /// are of.
  FilmRecorder(const std::filesystem::path& file,
               const AVStream& stream,
               double rate_hz);
  /// Ends the film, if nobody did; what fails then is not told.
  ~FilmRecorder();
  FilmRecorder(const FilmRecorder&) = delete;
  FilmRecorder& operator=(const FilmRecorder&) = delete;

  /// Whether packets of that stream can go on in this film.
  [[nodiscard]] bool takes(const AVStream& stream) const;
  /// Stamps in microseconds. Throws InputError when it cannot be written.
  void add(const AVPacket& packet, std::int64_t pts_us, std::int64_t dts_us);
  /// What was added is in the file.
  void flush();
  /// The end, and an index. Throws InputError when it cannot be written.
  void finish();

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
