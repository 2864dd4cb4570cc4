// SPDX-License-Identifier: MIT
// A camera's stream as a sequence of pictures with their times, recorded as it
// comes.
//
//   reading, clock, recording -> decoding, in whoever calls next()
//
// Reading has a thread of its own that waits for nobody, so nothing is lost
// while the rest is slow; what is behind by more than some hundred megabytes is
// in the film and not measured, which is told. Times are those that the clock
// makes of the stamps; they go into the film and to the pictures alike. A
// stream that goes away is told, tried again with growing pauses, and taken up;
// the time that passed meanwhile is taken from this machine's clock.
#pragma once

#include "film/packet_clock.h"
#include "film/stream_input.h"
#include "film/video_source.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

enum class StreamNewsKind {
  kLost,      ///< nothing comes
  kBack,      ///< it comes again
  kClock,     ///< the stamps have become useless, or good again
  kBehind,    ///< pictures are recorded but not measured
  kNoRecord,  ///< the film cannot be written any more
};

struct StreamNews {
  StreamNewsKind kind = StreamNewsKind::kLost;
  double t_s = 0;
  std::string words;
};

struct StreamPlan {
  StreamOptions stream;
  VideoOptions video;
  MakePacketClock clock;
  std::filesystem::path film;  ///< the record; empty: none
  double begin_s = 0;          ///< the first picture's time
  int begin_index = 0;         ///< and number
  /// Called in the reading thread.
  std::function<void(const StreamNews&)> news;
  /// Whether the film may grow, asked before every packet of it.
  std::function<bool()> may_record;
};

class StreamSource {
 public:
  /// Opens the stream and waits for its first picture. Throws InputError when
  /// it cannot be opened or gives no picture.
  StreamSource(const StreamPlan& plan, const std::atomic<bool>& stop);
  ~StreamSource();
  StreamSource(const StreamSource&) = delete;
  StreamSource& operator=(const StreamSource&) = delete;

  const VideoInfo& info() const;
  /// The next picture; nullopt when it was stopped or a pipe has ended. Throws
  /// InputError when the clock is hopeless from the start, or the picture comes
  /// back in another size.
  std::optional<Frame> next();
  /// Time of the last picture that has come, whether it was given or waits.
  double newest_s() const;
  /// Standard error of the last pictures' times.
  double clock_error_s() const;
  /// Waits until the film holds so much, or the stream has ended; then it is
  /// all in the file. For whoever reads the film while it grows.
  void wait_for_film(double length_s);
  /// Ends reading, and the film. Before notes().
  void close();
  /// Gaps, and what was lost.
  std::vector<std::string> notes() const;
  /// Every film that was written, in order.
  std::vector<std::filesystem::path> films() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
