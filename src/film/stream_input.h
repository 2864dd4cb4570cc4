// SPDX-License-Identifier: MIT
// An opened stream: a capture device, an address that FFmpeg opens, a pipe. Its
// packets as they come; no call waits longer than it was told, and none after
// `stop`.
#pragma once

#include <atomic>
#include <chrono>
#include <memory>
#include <string>

struct AVFormatContext;
struct AVIOContext;
struct AVPacket;
struct AVStream;

namespace evenfeed {

struct StreamOptions {
  /// "rtsp://…", "http://…", "tcp://…", "udp://…", "/dev/video0", the path of a
  /// FIFO, "-" for what is piped in.
  std::string address;
  int width_px = 0;    ///< of a capture device; 0: as it stands
  int height_px = 0;   ///< with width_px
  double rate_hz = 0;  ///< of a capture device, or of a stream that is silent
                       ///< about it; 0: not known
  double open_s = 10;  ///< the longest wait for it to answer
  double silent_s = 1.5;  ///< without a picture: it is gone

  void check() const;
};

enum class StreamRead {
  kPacket,
  kStopped,  ///< somebody wanted so
  kEnded,    ///< a pipe that was closed
  kGone,     ///< nothing came for silent_s, or reading failed
};

class StreamInput {
 public:
  /// Throws InputError naming the address when it cannot be opened, holds no
  /// pictures, or is a file.
  StreamInput(const StreamOptions& options, const std::atomic<bool>& stop);
  ~StreamInput();
  StreamInput(const StreamInput&) = delete;
  StreamInput& operator=(const StreamInput&) = delete;

  /// The next packet of the pictures.
  [[nodiscard]] StreamRead read(AVPacket& packet);
  /// Why the last one was kGone.
  const std::string& why_gone() const { return why_gone_; }
  /// Its packets carry stamps of the sender or the driver. Else only when they
  /// came is known.
  bool has_stamps() const { return has_stamps_; }
  /// What it says of itself; 0 when nothing.
  double rate_hz() const;
  /// That, or what FFmpeg made of the first packets.
  double likely_rate_hz() const;
  const AVStream& stream() const { return *stream_; }

 private:
  using Clock = std::chrono::steady_clock;
  void open();
  void close_all();
  AVIOContext* open_pipe();
  void find_pictures();
  int read_pipe(std::uint8_t* to, int size);
  void wait_at_most(double wait_s);
  bool given_up() const;
  [[noreturn]] void refuse(const std::string& problem,
                           const std::string& mend) const;

  StreamOptions options_;
  const std::atomic<bool>& stop_;
  Clock::time_point until_;
  bool device_ = false;
  int pipe_ = -1;
  AVFormatContext* format_ = nullptr;
  AVIOContext* pipe_reader_ = nullptr;
  AVStream* stream_ = nullptr;
  bool has_stamps_ = true;
  std::string why_gone_;
};

}  // namespace evenfeed
