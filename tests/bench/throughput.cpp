// SPDX-License-Identifier: MIT
// How fast a film is measured, beside what decoding it costs in any case.
//
//   throughput PROFILE FILM BENCH.toml EVENFEED
//
// Runs `ffmpeg -i FILM -an -f null -` and `EVENFEED measure FILM` in turn,
// three times each, and prints the shortest wall time of both, their ratio and
// the peak memory of the measurement; then, within this process, where the
// time goes.
#include "geometry/bench.h"
#include "pipeline/measure.h"
#include "vision/ball_detector.h"
#include "vision/video_source.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace evenfeed {
namespace {

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
  return std::chrono::duration<double>(Clock::now() - start).count();
}

struct Cost {
  double wall_s = 1e300;
  double cpu_s = 0;
  double peak_mb = 0;
};

double seconds(const timeval& time) {
  return static_cast<double>(time.tv_sec) + 1e-6 * time.tv_usec;
}

Cost run(const std::vector<std::string>& command) {
  const auto start = Clock::now();
  const pid_t child = fork();
  if (child == 0) {
    const int null = open("/dev/null", O_RDWR);
    for (const int to : {0, 1, 2}) dup2(null, to);
    std::vector<char*> arguments;
    for (const std::string& word : command) {
      arguments.push_back(const_cast<char*>(word.c_str()));
    }
    arguments.push_back(nullptr);
    execvp(arguments[0], arguments.data());
    _exit(127);
  }
  int status = 0;
  rusage usage{};
  wait4(child, &status, 0, &usage);
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    fmt::print(stderr, "{} failed\n", command.front());
    std::exit(1);
  }
  return {seconds_since(start),
          seconds(usage.ru_utime) + seconds(usage.ru_stime),
          static_cast<double>(usage.ru_maxrss) / 1024};
}

void keep_best(Cost& best, const Cost& now) {
  best.peak_mb = std::max(best.peak_mb, now.peak_mb);
  if (now.wall_s >= best.wall_s) return;
  best.wall_s = now.wall_s;
  best.cpu_s = now.cpu_s;
}

void print_stages(const Profile& profile,
                  const std::filesystem::path& film,
                  const Bench& bench) {
  const MeasureOptions options;
  VideoSource source(film);
  BallDetector detector(
      options.detector, bench.camera, profile.surface, profile.flight.ball);
  detector.learn(opening_stills(film));
  FeedMeasurer measurer(bench, profile, options);
  double decode = 0, detect = 0, track = 0;
  long frames = 0;
  while (true) {
    auto mark = Clock::now();
    const auto frame = source.next();
    decode += seconds_since(mark);
    if (!frame) break;
    mark = Clock::now();
    const auto sightings = detector.detect(*frame);
    detect += seconds_since(mark);
    mark = Clock::now();
    measurer.add_frame(frame->t_s, sightings);
    track += seconds_since(mark);
    ++frames;
  }
  const auto mark = Clock::now();
  const Measurement measurement = measurer.finish();
  const double last = seconds_since(mark);
  const double per_frame = 1e3 / static_cast<double>(frames);
  fmt::print(
      "in one thread, ms per frame: decoding {:.2f}, detection {:.2f}, tracks "
      "and single flights {:.2f}, the session's flights {:.2f} ({} feeds)\n",
      decode * per_frame,
      detect * per_frame,
      track * per_frame,
      last * per_frame,
      measurement.fit.feeds.size());
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  if (argc != 5) {
    fmt::print(stderr, "usage: throughput PROFILE FILM BENCH.toml EVENFEED\n");
    return 2;
  }
  const std::filesystem::path film = argv[2];
  const std::string out =
      (std::filesystem::temp_directory_path() / "throughput_feeds.csv")
          .string();
  Cost plain, measured;
  for (int i = 0; i < 3; ++i) {
    keep_best(plain,
              run({"ffmpeg", "-i", film.string(), "-an", "-f", "null", "-"}));
    keep_best(measured,
              run({argv[4],
                   "measure",
                   film.string(),
                   "--bench",
                   argv[3],
                   "--profile",
                   argv[1],
                   "--out",
                   out,
                   "--quiet"}));
  }
  std::filesystem::remove(out);
  const VideoSource source(film);
  const auto frames = static_cast<double>(source.info().expected_frames);
  const double megabits =
      8e-6 * static_cast<double>(std::filesystem::file_size(film));
  fmt::print("{}: {} x {}, {:.0f} frames, {:.1f} Mbit\n",
             film.string(),
             source.info().width_px,
             source.info().height_px,
             frames,
             megabits);
  fmt::print("plain decoding {:.2f} s wall, {:.2f} s CPU: {:.0f} frames/s\n",
             plain.wall_s,
             plain.cpu_s,
             frames / plain.wall_s);
  fmt::print(
      "measure        {:.2f} s wall, {:.2f} s CPU: {:.0f} frames/s, {:.2f} x "
      "decoding, peak {:.0f} MB\n",
      measured.wall_s,
      measured.cpu_s,
      frames / measured.wall_s,
      measured.wall_s / plain.wall_s,
      measured.peak_mb);
  print_stages(load_profile(argv[1]), film, load_bench(argv[3]));
}
