// SPDX-License-Identifier: MIT
// A bench for the page's test: invented sightings through the engine, the desk
// and the server, faster than a bench is until they are over and then at a
// camera's pace. What happens to it is said on standard input, a word a line:
//
//   lose, back    the camera
//   stall, go     no frame comes any more, and nothing says so
//   behind, kept  frames are ten seconds old when they are looked at
//   end           the session ends; so does the end of the input
//
//   page_bench PORT FOLDER FEEDS SPEED
#include "live/engine.h"
#include "live/live_desk.h"
#include "unit/live/bench_frames.h"

#include <atomic>
#include <chrono>
#include <cstdlib>
#include <iostream>
#include <string>
#include <thread>

using namespace evenfeed;
using Clock = std::chrono::steady_clock;

namespace {

constexpr double kRate_hz = 60;
constexpr double kOldAge_s = 10;

struct Wishes {
  std::atomic<bool> stalled{false};
  std::atomic<bool> lost{false};
  std::atomic<bool> behind{false};
  std::atomic<bool> over{false};

  void hear() {
    for (std::string word; std::getline(std::cin, word) && word != "end";) {
      if (word == "lose" || word == "back") lost = word == "lose";
      if (word == "stall" || word == "go") stalled = word == "stall";
      if (word == "behind" || word == "kept") behind = word == "behind";
    }
    over = true;
  }
};

}  // namespace

int main(int argc, char** argv) {
  if (argc < 5) return 2;
  const BenchFrames made = bench_frames(std::atoi(argv[3]));
  const double speed = std::atof(argv[4]);
  EngineOptions options;
  options.judging.quality = made.profile.quality;
  LiveDesk* desk = nullptr;
  LiveEngine engine(
      made.bench, made.profile, options, [&](const LiveEvent& event) {
        desk->event(event);
      });
  LiveDesk own(argv[2], made.profile, {}, {}, [&] { return engine.state(); });
  desk = &own;
  ServerOptions server;
  server.port = std::atoi(argv[1]);
  own.open_page(server);
  std::cout << own.page_address() << std::endl;
  Wishes wishes;
  std::thread ear([&] { wishes.hear(); });
  auto next = Clock::now();
  bool lost = false;
  for (std::size_t i = 0; !wishes.over;) {
    const bool empty = i >= made.frames.size();
    next += std::chrono::duration_cast<Clock::duration>(
        std::chrono::duration<double>(1 / kRate_hz / (empty ? 1 : speed)));
    std::this_thread::sleep_until(next);
    if (wishes.lost != lost) {
      lost = !lost;
      engine.tell_camera(!lost, static_cast<double>(i) / kRate_hz, "told so");
    }
    if (wishes.stalled || lost) continue;
    FrameSightings frame;
    if (!empty) frame = made.frames[i];
    frame.index = static_cast<int>(i);
    frame.t_s = static_cast<double>(i) / kRate_hz;
    own.frame(frame);
    engine.add(std::move(frame), wishes.behind ? kOldAge_s : 0);
    ++i;
  }
  own.end();
  ear.join();
  return 0;
}
