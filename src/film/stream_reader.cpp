// SPDX-License-Identifier: MIT
#include "film/stream_reader.h"

#include "base/error.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

constexpr double kFirstPause_s = 0.25;
constexpr double kLongestPause_s = 8;
// A clock that is useless so early ends it; later, all that was measured would
// go with it.
constexpr double kEarly_s = 20;
// Stamps that jump so far are another stream's.
constexpr double kJump_s = 5;
constexpr double kLeastGap_s = 0.05;
// Where nothing is known of it; only the first picture's time rests on it.
constexpr double kLikelyRate_hz = 30;
constexpr std::size_t kMostUnstamped = 250;

double since_s(std::chrono::steady_clock::time_point then) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - then)
      .count();
}

std::int64_t us_from_s(double t_s) { return std::llround(1e6 * t_s); }

// film.mkv, film-2.mkv, ...
fs::path free_name(const fs::path& wanted) {
  std::error_code error;
  fs::path name = wanted;
  for (int i = 2; fs::exists(name, error); ++i) {
    name = wanted.parent_path() / fmt::format("{}-{}{}",
                                              wanted.stem().string(),
                                              i,
                                              wanted.extension().string());
  }
  return name;
}

}  // namespace

StreamReader::StreamReader(const StreamPlan& plan,
                           const std::atomic<bool>& stop)
    : plan_(plan),
      wanted_stop_(stop),
      last_t_s_(plan.begin_s),
      recording_(!plan.film.empty()) {
  input_ = std::make_unique<StreamInput>(plan_.stream, wanted_stop_);
  last_came_ = Clock::now();
  thread_ = std::thread([this] { run(); });
}

StreamReader::~StreamReader() { close(); }

void StreamReader::close() {
  stop_ = true;
  if (thread_.joinable()) thread_.join();
}

std::vector<std::string> StreamReader::notes() const {
  const std::lock_guard lock(mutex_);
  return notes_;
}

std::vector<fs::path> StreamReader::films() const {
  const std::lock_guard lock(mutex_);
  return films_;
}

void StreamReader::note(const std::string& words) {
  const std::lock_guard lock(mutex_);
  notes_.push_back(words);
}

void StreamReader::tell(StreamNewsKind kind, const std::string& words) {
  if (plan_.news) plan_.news({kind, last_t_s_.load(), words});
}

void StreamReader::run() {
  std::exception_ptr failure;
  try {
    while (read_stretch() == Next::kAgain && reopen()) {
    }
  } catch (...) {
    failure = std::current_exception();
  }
  try {
    if (film_) film_->finish();
  } catch (const InputError& error) {
    note(error.what());
  }
  film_.reset();
  input_.reset();
  if (unmeasured_ > 0) {
    note(
        fmt::format("{} pictures came faster than they could be measured: "
                    "they are in the film only",
                    unmeasured_));
  }
  packets_.finish(failure);
  const std::lock_guard lock(mutex_);
  over_ = true;
  changed_.notify_all();
}

// From opening to its end, or until it is gone.
StreamReader::Next StreamReader::read_stretch() {
  shape_ = std::make_shared<StreamShape>(input_->stream());
  // The camera is the same: what was found of it holds.
  const double found_hz = clock_ ? clock_->rate_hz() : 0;
  clock_ = plan_.clock(found_hz > 0 ? found_hz : input_->rate_hz());
  placed_ = false;
  start_.emplace(input_->rate_hz());
  unstamped_.clear();
  last_stamp_s_ = -std::numeric_limits<double>::infinity();
  for (;;) {
    if (stop_ || wanted_stop_) break;
    PacketPtr packet(av_packet_alloc());
    const StreamRead got = input_->read(*packet);
    if (got == StreamRead::kPacket) {
      const std::optional<double> own_s = stamp_of(*packet);
      if (!own_s) {
        unstamped_.push_back(std::move(packet));
        if (unstamped_.size() <= kMostUnstamped) continue;
        came(clock_->finish());
        waiting_.clear();
        tell(StreamNewsKind::kLost, "its pictures carry no times");
        return Next::kAgain;
      }
      const double stamp_s = *own_s;
      const bool jumped = std::isfinite(last_stamp_s_) &&
                          std::abs(stamp_s - last_stamp_s_) > kJump_s;
      if (jumped) {
        came(clock_->finish());
        waiting_.clear();
        tell(StreamNewsKind::kLost, "the stream's clock jumped");
        return Next::kAgain;
      }
      last_came_ = Clock::now();
      if (!input_->has_stamps() && !start_->over(stamp_s)) continue;
      place_unstamped(stamp_s);
      last_stamp_s_ = stamp_s;
      waiting_.push_back(std::move(packet));
      came(clock_->add(stamp_s));
      look_at_clock();
      flush_film_if_asked();
      continue;
    }
    came(clock_->finish());
    waiting_.clear();
    if (got != StreamRead::kGone) return Next::kOver;
    tell(StreamNewsKind::kLost,
         "nothing comes from the camera: " + input_->why_gone());
    return Next::kAgain;
  }
  came(clock_->finish());
  return Next::kOver;
}

// Seconds on the sender's clock, or on this machine's where there is none.
// nullopt for a picture without a stamp among others that have them.
std::optional<double> StreamReader::stamp_of(const AVPacket& packet) const {
  if (!input_->has_stamps()) {
    return std::chrono::duration<double>(Clock::now().time_since_epoch())
        .count();
  }
  const std::int64_t ticks =
      packet.dts != AV_NOPTS_VALUE ? packet.dts : packet.pts;
  if (ticks == AV_NOPTS_VALUE) return std::nullopt;
  return static_cast<double>(ticks) * av_q2d(input_->stream().time_base);
}

// Evenly before the one that has a stamp. The first picture of an RTSP stream
// comes without, and all others rest on it.
void StreamReader::place_unstamped(double next_s) {
  if (unstamped_.empty()) return;
  const double rate_hz = input_->likely_rate_hz();
  const double step_s = 1 / (rate_hz > 0 ? rate_hz : kLikelyRate_hz);
  double t_s = next_s - static_cast<double>(unstamped_.size()) * step_s;
  for (PacketPtr& packet : unstamped_) {
    waiting_.push_back(std::move(packet));
    came(clock_->add(std::max(t_s, last_stamp_s_)));
    t_s += step_s;
  }
  unstamped_.clear();
}

// The first begins this session's time; what comes after a gap lies as far
// behind as this machine's clock says.
void StreamReader::place(double t_s) {
  double gap_s = 0;
  if (gone_at_) {
    const double later_s = last_stamp_s_ - t_s;  // came since
    gap_s = std::max(since_s(*gone_at_) - later_s, kLeastGap_s);
  }
  offset_s_ = last_t_s_ + gap_s - t_s;
  placed_ = true;
}

void StreamReader::came(const std::vector<PacketTime>& times) {
  for (const PacketTime& time : times) {
    if (waiting_.empty()) return;
    PacketPtr packet = std::move(waiting_.front());
    waiting_.pop_front();
    if (!placed_) {
      place(time.t_s);
    }
    const double tick_s = av_q2d(input_->stream().time_base);
    const bool both =
        packet->pts != AV_NOPTS_VALUE && packet->dts != AV_NOPTS_VALUE;
    const double t_s = time.t_s + offset_s_;
    const double shown_s =
        t_s +
        (both ? static_cast<double>(packet->pts - packet->dts) * tick_s : 0);
    packet->dts = us_from_s(t_s);
    packet->pts = us_from_s(shown_s);
    last_t_s_ = t_s;
    record(*packet);
    const double error_s = clock_->error_s();
    const bool room = packets_.give({shape_,
                                     std::move(packet),
                                     std::isfinite(error_s) ? error_s : 0,
                                     time.doubtful});
    unmeasured_ += !room;
    if (room == behind_) {
      behind_ = !room;
      tell(StreamNewsKind::kBehind,
           behind_ ? "this machine does not keep up: pictures are recorded but "
                     "not measured"
                   : "this machine keeps up again");
    }
  }
}

void StreamReader::open_film() {
  if (film_ && film_->takes(input_->stream())) return;
  film_.reset();
  const fs::path name = free_name(plan_.film);
  film_ =
      std::make_unique<FilmRecorder>(name, input_->stream(), input_->rate_hz());
  const std::lock_guard lock(mutex_);
  films_.push_back(name);
}

void StreamReader::record(const AVPacket& packet) {
  if (!recording_) return;
  try {
    if (plan_.may_record && !plan_.may_record()) {
      throw InputError("the disk is nearly full");
    }
    open_film();
    film_->add(packet, packet.pts, packet.dts);
    const std::lock_guard lock(mutex_);
    film_s_ = last_t_s_ - plan_.begin_s;
  } catch (const InputError& error) {
    recording_ = false;
    film_.reset();
    const std::string words =
        std::string("the film is not written any further: ") + error.what();
    note(fmt::format("{:.1f} s: {}", last_t_s_.load(), words));
    tell(StreamNewsKind::kNoRecord, words);
  }
}

void StreamReader::look_at_clock() {
  const std::string why = clock_->hopeless();
  if (why.empty() != clock_bad_) return;
  if (!why.empty() && last_t_s_ - plan_.begin_s < kEarly_s) {
    throw InputError(plan_.stream.address + ": " + why);
  }
  clock_bad_ = !why.empty();
  const std::string words =
      clock_bad_ ? why : "the stream's clock is good again";
  if (clock_bad_) note(fmt::format("{:.1f} s: {}", last_t_s_.load(), words));
  tell(StreamNewsKind::kClock, words);
}

// With growing pauses, as long as it takes. False when somebody ended it.
bool StreamReader::reopen() {
  const double lost_s = last_t_s_;
  gone_at_ = last_came_;
  double pause_s = kFirstPause_s;
  input_.reset();
  while (!stop_ && !wanted_stop_) {
    try {
      input_ = std::make_unique<StreamInput>(plan_.stream, wanted_stop_);
    } catch (const InputError&) {  // told already
    }
    if (input_) {
      const double away_s = since_s(last_came_);
      tell(StreamNewsKind::kBack,
           fmt::format("the camera is back after {:.0f} s", away_s));
      note(
          fmt::format("nothing came from the camera from {:.1f} s on, for "
                      "{:.0f} s: what flew then is missing",
                      lost_s,
                      away_s));
      return true;
    }
    const auto until = Clock::now() + std::chrono::duration<double>(pause_s);
    while (!stop_ && !wanted_stop_ && Clock::now() < until) {
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    pause_s = std::min(2 * pause_s, kLongestPause_s);
  }
  return false;
}

void StreamReader::flush_film_if_asked() {
  const std::lock_guard lock(mutex_);
  if (flush_at_s_ < 0 || flushed_ || film_s_ < flush_at_s_ || !film_) return;
  film_->flush();
  flushed_ = true;
  changed_.notify_all();
}

void StreamReader::wait_for_film(double length_s) {
  std::unique_lock lock(mutex_);
  flush_at_s_ = length_s;
  changed_.wait(lock, [&] { return flushed_ || over_; });
}

}  // namespace evenfeed
