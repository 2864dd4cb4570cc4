// SPDX-License-Identifier: MIT
// How long it takes from the arrival of an arc's last picture to the event of
// its feed at a client of the bench page.
//
//   live_latency [PORT] [FEEDS] [SPEED] [STAY_S]
//     an invented bench from sightings, SPEED times as fast as a bench would
//     be; the page is served meanwhile, and STAY_S longer
//   live_latency film FILM BENCH.toml [PROFILE]
//     a film at its own speed, with decoding and detection
#include "film/video_source.h"
#include "live/engine.h"
#include "live/live_desk.h"
#include "live/live_run.h"
#include "stats/descriptive.h"
#include "unit/live/bench_frames.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <map>
#include <mutex>
#include <string>
#include <thread>

#include <arpa/inet.h>
#include <fmt/format.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

using namespace evenfeed;
using Clock = std::chrono::steady_clock;

namespace {

double ms_between(Clock::time_point from, Clock::time_point to) {
  return std::chrono::duration<double, std::milli>(to - from).count();
}

double processor_s() {
  timespec time{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
  return static_cast<double>(time.tv_sec) +
         1e-9 * static_cast<double>(time.tv_nsec);
}

// Hears the page's news as a browser does, and notes when each feed came.
class NewsClient {
 public:
  explicit NewsClient(int port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    const std::string ask =
        fmt::format("GET /news HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", port);
    if (::connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to) != 0 ||
        ::send(socket_, ask.data(), ask.size(), 0) !=
            static_cast<ssize_t>(ask.size())) {
      fmt::print(stderr, "the page does not answer\n");
      std::exit(1);
    }
    thread_ = std::thread([this] { hear(); });
  }
  std::vector<Clock::time_point> finish() {
    ::shutdown(socket_, SHUT_RDWR);
    thread_.join();
    ::close(socket_);
    return feeds_;
  }

 private:
  void hear() {
    const std::string mark = "event: feed\n";
    std::string text;
    char part[4096];
    for (ssize_t got = 0; (got = ::recv(socket_, part, sizeof part, 0)) > 0;) {
      const auto now = Clock::now();
      text.append(part, static_cast<std::size_t>(got));
      std::size_t at = 0;
      while ((at = text.find(mark)) != text.npos) {
        feeds_.push_back(now);
        text.erase(0, at + mark.size());
      }
      if (text.size() > mark.size()) text.erase(0, text.size() - mark.size());
    }
  }

  int socket_;
  std::vector<Clock::time_point> feeds_;
  std::thread thread_;
};

// When each frame came, and of each feed that was told the frame it ended with.
class Arrivals {
 public:
  void frame(double t_s, Clock::time_point came) {
    const std::lock_guard lock(mutex_);
    came_[t_s] = came;
  }
  void feed(const LiveEvent& event) {
    const std::lock_guard lock(mutex_);
    // Sightings are of mid-exposure, somewhat after their frame's stamp.
    auto last = came_.upper_bound(event.feed.last_s);
    if (last != came_.begin()) --last;
    ended_.push_back(last->second);
    told_.push_back(Clock::now());
  }
  void print(const std::vector<Clock::time_point>& heard) const {
    std::vector<double> told_ms, heard_ms;
    for (std::size_t i = 0; i < ended_.size(); ++i) {
      told_ms.push_back(ms_between(ended_[i], told_[i]));
      if (i < heard.size()) heard_ms.push_back(ms_between(ended_[i], heard[i]));
    }
    print("event", told_ms);
    print("client", heard_ms);
  }

 private:
  static void print(const char* where, std::vector<double> ms) {
    std::sort(ms.begin(), ms.end());
    if (ms.empty()) return;
    fmt::print(
        "{} feeds; from the arc's last frame to the {}: median {:.1f} ms, 99 % "
        "{:.1f} ms, most {:.1f} ms\n",
        ms.size(),
        where,
        ms[ms.size() / 2],
        ms[ms.size() * 99 / 100],
        ms.back());
  }

  std::mutex mutex_;
  std::map<double, Clock::time_point> came_;
  std::vector<Clock::time_point> ended_;
  std::vector<Clock::time_point> told_;
};

std::filesystem::path empty_folder() {
  const auto folder = std::filesystem::temp_directory_path() / "live-latency";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

int port_of(const LiveDesk& desk) {
  const std::string address = desk.page_address();
  return std::atoi(address.substr(address.rfind(':') + 1).c_str());
}

int of_sightings(int port, int feeds, double speed, int stay_s) {
  const BenchFrames made = bench_frames(feeds);
  EngineOptions options;
  options.judging.quality = made.profile.quality;
  LiveEngine* engine = nullptr;
  Arrivals arrivals;
  LiveDesk desk(
      empty_folder(), made.profile, {}, {}, [&] { return engine->state(); });
  LiveEngine live(made.bench, made.profile, options, [&](const LiveEvent& one) {
    desk.event(one);
    if (one.kind == LiveEventKind::kFeed) arrivals.feed(one);
  });
  engine = &live;
  ServerOptions server;
  server.port = port;
  desk.open_page(server);
  fmt::print("{}\n", desk.page_address());
  std::fflush(stdout);
  NewsClient client(port_of(desk));
  const auto start = Clock::now();
  for (const FrameSightings& frame : made.frames) {
    std::this_thread::sleep_until(
        start + std::chrono::duration_cast<Clock::duration>(
                    std::chrono::duration<double>(frame.t_s / speed)));
    arrivals.frame(frame.t_s, Clock::now());
    desk.frame(frame);
    live.add(frame);
  }
  std::this_thread::sleep_for(std::chrono::seconds(1));
  arrivals.print(client.finish());
  fmt::print(
      "{} renewals; {}\n", live.state()->renewals, state_line(*live.state()));
  std::fflush(stdout);
  std::this_thread::sleep_for(std::chrono::seconds(stay_s));
  return 0;
}

int of_film(const std::filesystem::path& film,
            const std::filesystem::path& bench_file,
            const std::filesystem::path& profile_file) {
  const Profile profile = load_profile(profile_file);
  EngineOptions options;
  options.judging.quality = profile.quality;
  std::unique_ptr<LiveDesk> desk;
  Arrivals arrivals;
  LiveRun run(
      load_bench(bench_file),
      profile,
      options,
      [&](const LiveEvent& one) {
        desk->event(one);
        if (one.kind == LiveEventKind::kFeed) arrivals.feed(one);
      },
      [&](const FrameSightings& frame) { desk->frame(frame); });
  desk = std::make_unique<LiveDesk>(
      empty_folder(), profile, TrialLog(), OrderSheet(), [&] {
        return run.engine().state();
      });
  desk->open_page({});
  NewsClient client(port_of(*desk));
  VideoOptions as_a_stream;
  as_a_stream.decoder_threads = 1;
  VideoSource source(film, as_a_stream);
  LiveFrames frames{source.info(), opening_stills(film), {}};
  int count = 0;
  double last_s = 0;
  double most_behind_s = 0;
  Clock::time_point start;
  // A picture arrives coded; decoding it is part of what takes time.
  frames.next = [&]() {
    if (count == 0) start = Clock::now();
    const auto due =
        start +
        std::chrono::duration_cast<Clock::duration>(
            std::chrono::duration<double>(count / source.info().rate_hz));
    std::this_thread::sleep_until(due);
    std::optional<Frame> frame = source.next();
    if (!frame) return frame;
    arrivals.frame(frame->t_s, due);
    most_behind_s =
        std::max(most_behind_s, ms_between(due, Clock::now()) / 1e3);
    last_s = frame->t_s;
    ++count;
    return frame;
  };
  start = Clock::now();
  const double used_s = processor_s();
  (void)run.run(std::move(frames));
  const double wall_s = ms_between(start, Clock::now()) / 1e3;
  arrivals.print(client.finish());
  fmt::print(
      "{} frames of {:.1f} s in {:.1f} s, none dropped, at most {:.0f} ms "
      "behind; {:.0f} % of {} processors; {}\n",
      count,
      last_s,
      wall_s,
      1e3 * most_behind_s,
      100 * (processor_s() - used_s) / wall_s /
          std::max(1U, std::thread::hardware_concurrency()),
      std::max(1U, std::thread::hardware_concurrency()),
      state_line(*run.engine().state()));
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const auto word = [&](int i, const char* otherwise) {
    return std::string(argc > i ? argv[i] : otherwise);
  };
  if (word(1, "") == "film" && argc > 3) {
    return of_film(
        argv[2], argv[3], word(4, EVENFEED_ROOT "/profiles/table-tennis.toml"));
  }
  return of_sightings(std::atoi(word(1, "8765").c_str()),
                      std::atoi(word(2, "60").c_str()),
                      std::atof(word(3, "20").c_str()),
                      std::atoi(word(4, "0").c_str()));
}
