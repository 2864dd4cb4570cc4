// SPDX-License-Identifier: MIT
// The thread that reads a stream: stamps to times, packets to the film and to
// whoever decodes, and again when the stream was away. Internal to film.
#pragma once

#include "film/film_recorder.h"
#include "film/stream_packets.h"
#include "film/stream_source.h"
#include "film/stream_start.h"

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

namespace evenfeed {

class StreamReader {
 public:
  /// Opens the stream; throws InputError when that fails. Then reads.
  StreamReader(const StreamPlan& plan, const std::atomic<bool>& stop);
  ~StreamReader();
  StreamReader(const StreamReader&) = delete;
  StreamReader& operator=(const StreamReader&) = delete;

  PacketLine& packets() { return packets_; }
  double newest_s() const { return last_t_s_; }
  /// See StreamSource.
  void wait_for_film(double length_s);
  void close();
  std::vector<std::string> notes() const;
  std::vector<std::filesystem::path> films() const;

 private:
  using Clock = std::chrono::steady_clock;
  enum class Next { kAgain, kOver };

  void run();
  Next read_stretch();
  bool reopen();
  void take(PacketPtr packet);
  void place(double t_s);
  void came(const std::vector<PacketTime>& times);
  void record(const AVPacket& packet);
  void open_film();
  void look_at_clock();
  void flush_film_if_asked();
  void tell(StreamNewsKind kind, const std::string& words);
  void note(const std::string& words);
  std::optional<double> stamp_of(const AVPacket& packet) const;
  void place_unstamped(double next_s);

  StreamPlan plan_;
  const std::atomic<bool>& wanted_stop_;
  std::atomic<bool> stop_{false};  // either
  std::unique_ptr<StreamInput> input_;
  std::shared_ptr<const StreamShape> shape_;
  std::unique_ptr<PacketClock> clock_;
  std::unique_ptr<FilmRecorder> film_;
  PacketLine packets_;

  std::deque<PacketPtr> waiting_;     // for a time
  std::vector<PacketPtr> unstamped_;  // before the first that has a stamp
  double offset_s_ = 0;               // of this session's time to the stamps'
  bool placed_ = false;               // it is known
  std::atomic<double> last_t_s_{0};
  Clock::time_point last_came_;
  std::optional<StreamStart> start_;          // of this stretch
  std::optional<Clock::time_point> gone_at_;  // the last one before the gap
  bool clock_bad_ = false;
  bool behind_ = false;
  bool recording_ = true;
  int unmeasured_ = 0;
  double last_stamp_s_ = 0;

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  double film_s_ = 0;  // recorded
  double flush_at_s_ = -1;
  bool flushed_ = false;
  bool over_ = false;
  std::vector<std::string> notes_;
  std::vector<std::filesystem::path> films_;
  std::thread thread_;
};

}  // namespace evenfeed
