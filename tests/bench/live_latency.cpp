// SPDX-License-Identifier: MIT
// live_latency [PORT] [FEEDS] [SPEED]: the bench page of an invented bench,
// from sightings, SPEED times as fast as a bench would be; says how long the
// engine took from a frame to the event of a feed.
#include "stats/descriptive.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <thread>

#include "live/engine.h"
#include "live/live_desk.h"
#include "unit/live/bench_frames.h"
#include <fmt/format.h>

using namespace evenfeed;
using Clock = std::chrono::steady_clock;

int main(int argc, char** argv) {
  const int port = argc > 1 ? std::atoi(argv[1]) : 8765;
  const int feeds = argc > 2 ? std::atoi(argv[2]) : 60;
  const double speed = argc > 3 ? std::atof(argv[3]) : 20;
  const auto folder = std::filesystem::temp_directory_path() / "live-latency";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  const BenchFrames made = bench_frames(feeds);
  EngineOptions options;
  options.judging.quality = made.profile.quality;
  LiveEngine* engine = nullptr;
  LiveDesk desk(folder, made.profile, {}, [&] { return engine->state(); });
  std::vector<double> took_ms;
  Clock::time_point began;
  LiveEngine live(made.bench, made.profile, options, [&](const LiveEvent& one) {
    desk.event(one);
    if (one.kind != LiveEventKind::kFeed) return;
    took_ms.push_back(
        std::chrono::duration<double, std::milli>(Clock::now() - began)
            .count());
  });
  engine = &live;
  ServerOptions server;
  server.port = port;
  desk.open_page(server);
  fmt::print("{}\n", desk.page_address());
  std::fflush(stdout);
  const auto start = Clock::now();
  for (const FrameSightings& frame : made.frames) {
    std::this_thread::sleep_until(
        start + std::chrono::duration_cast<Clock::duration>(
                    std::chrono::duration<double>(frame.t_s / speed)));
    began = Clock::now();
    desk.frame(frame);
    live.add(frame);
  }
  std::sort(took_ms.begin(), took_ms.end());
  if (took_ms.empty()) return 1;
  fmt::print(
      "{} feeds; from the frame to the event: median {:.1f} ms, 99 % "
      "{:.1f} ms, most {:.1f} ms; {} renewals; {}\n",
      took_ms.size(),
      took_ms[took_ms.size() / 2],
      took_ms[took_ms.size() * 99 / 100],
      took_ms.back(),
      live.state()->renewals,
      state_line(*live.state()));
  std::fflush(stdout);
  std::this_thread::sleep_for(
      std::chrono::seconds(argc > 4 ? std::atoi(argv[4]) : 0));
  return 0;
}
