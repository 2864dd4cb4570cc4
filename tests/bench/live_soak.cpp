// SPDX-License-Identifier: MIT
// A bench that runs for days: many feeds through the engine, the desk and the
// page's server, at full speed. What grows, and how quick journal and page are
// at the end.
//
//   live_soak [FEEDS] [EVERY]       default: 20000 1000
//
// A line every EVERY feeds: memory, processor time of a frame and of a feed (of
// this thread, as what measures all feeds together runs beside it), the longest
// wait for the journal, size of the page's state and time to get it.
#include "live/engine.h"
#include "live/live_desk.h"
#include "unit/live/bench_frames.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <string>

#include <arpa/inet.h>
#include <fmt/format.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

using namespace evenfeed;
using Clock = std::chrono::steady_clock;

namespace {

constexpr int kAtOnce = 20;  // feeds

double ms_since(Clock::time_point from) {
  return std::chrono::duration<double, std::milli>(Clock::now() - from).count();
}

double thread_ms() {
  timespec time{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
  return 1e3 * static_cast<double>(time.tv_sec) +
         1e-6 * static_cast<double>(time.tv_nsec);
}

double memory_mb() {
  std::ifstream statm("/proc/self/statm");
  double all = 0;
  double resident = 0;
  statm >> all >> resident;
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

// As a page asks for it.
std::size_t state_bytes(int port) {
  const int to = ::socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(static_cast<std::uint16_t>(port));
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  const std::string ask = fmt::format(
      "GET /state HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
      port);
  std::size_t bytes = 0;
  if (::connect(to, reinterpret_cast<sockaddr*>(&address), sizeof address) ==
          0 &&
      ::send(to, ask.data(), ask.size(), 0) > 0) {
    char part[65536];
    for (ssize_t got = 0; (got = ::recv(to, part, sizeof part, 0)) > 0;) {
      bytes += static_cast<std::size_t>(got);
    }
  }
  ::close(to);
  return bytes;
}

struct Spent {
  double add_ms = 0;
  double event_ms = 0;
  double most_event_ms = 0;
  int frames = 0;
  int feeds = 0;
};

}  // namespace

int main(int argc, char** argv) {
  const int feeds = argc > 1 ? std::atoi(argv[1]) : 20000;
  const int every = argc > 2 ? std::atoi(argv[2]) : 1000;
  const auto folder = std::filesystem::temp_directory_path() / "live-soak";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  const BenchFrames first = bench_frames(1);
  EngineOptions options;
  options.judging.quality = first.profile.quality;
  Spent spent;
  LiveDesk* desk = nullptr;
  LiveEngine engine(
      first.bench, first.profile, options, [&](const LiveEvent& event) {
        const auto from = Clock::now();
        desk->event(event);
        const double took_ms = ms_since(from);
        spent.event_ms += took_ms;
        spent.most_event_ms = std::max(spent.most_event_ms, took_ms);
        spent.feeds += event.kind == LiveEventKind::kFeed;
      });
  LiveDesk own(folder, first.profile, {}, {}, [&] { return engine.state(); });
  desk = &own;
  own.open_page({});
  const std::string address = own.page_address();
  const int port = std::atoi(address.substr(address.rfind(':') + 1).c_str());
  fmt::print(
      "feeds told  MB     frame ms  feed ms  event ms (most)  state kB (ms)  "
      "journal MB  renewals\n");
  double begin_s = 0;
  int index = 0;
  for (int done = 0; done < feeds; done += kAtOnce) {
    const BenchFrames made =
        bench_frames(kAtOnce, static_cast<std::uint64_t>(done) + 1);
    for (const FrameSightings& one : made.frames) {
      FrameSightings frame = one;
      frame.index = index++;
      frame.t_s += begin_s;
      frame.news.settled_until_s += begin_s;
      for (Sighting& sighting : frame.sightings) {
        sighting.t_s += begin_s;
        sighting.frame = frame.index;
      }
      const double from_ms = thread_ms();
      own.frame(frame);
      engine.add(std::move(frame));
      spent.add_ms += thread_ms() - from_ms;
      ++spent.frames;
    }
    begin_s += made.frames.back().t_s + 1.0 / 60;
    if ((done + kAtOnce) % every != 0) continue;
    const auto from = Clock::now();
    const std::size_t bytes = state_bytes(port);
    const double page_ms = ms_since(from);
    fmt::print(
        "{:6} {:6} {:6.0f} {:8.3f} {:8.2f} {:8.2f} ({:.1f}) {:8.0f} ({:.1f}) "
        "{:8.1f} {:6}\n",
        done + kAtOnce,
        engine.state()->feeds.size(),
        memory_mb(),
        spent.add_ms / spent.frames,
        spent.add_ms / std::max(1, spent.feeds),
        spent.event_ms / std::max(1, spent.feeds),
        spent.most_event_ms,
        static_cast<double>(bytes) / 1e3,
        page_ms,
        static_cast<double>(std::filesystem::file_size(folder / kJournalFile)) /
            1e6,
        engine.state()->renewals);
    std::fflush(stdout);
    spent = {};
  }
  std::filesystem::remove_all(folder);
  return 0;
}
