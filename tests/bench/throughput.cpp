// SPDX-License-Identifier: MIT
// How fast a film is measured, beside what decoding it costs in any case.
//
//   throughput PROFILE FILM BENCH.toml EVENFEED [ROUNDS]
//
// Runs `ffmpeg -i FILM -an -f null -` and `EVENFEED measure FILM` in turn,
// ROUNDS times each (default 3), and prints wall and processor time of the
// quickest of both, the ratio of the walls in every round, how much faster than
// real time, and the peak memory; then, within this process, what each stage
// costs the processors per frame, and what became of everything that changed.
#include "detection/ball_detector.h"
#include "film/video_source.h"
#include "geometry/bench.h"
#include "pipeline/feed_measurer.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace evenfeed {
namespace {

using Clock = std::chrono::steady_clock;

// What this thread alone, or the whole process, has used of the processors.
double processor_s(clockid_t whose) {
  timespec time{};
  clock_gettime(whose, &time);
  return static_cast<double>(time.tv_sec) + 1e-9 * time.tv_nsec;
}

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

double decoding_s(const std::filesystem::path& film) {
  const double start_s = processor_s(CLOCK_PROCESS_CPUTIME_ID);
  VideoSource source(film);
  while (source.next()) {
  }
  return processor_s(CLOCK_PROCESS_CPUTIME_ID) - start_s;
}

// What one step of a frame added.
DetectorCounts added(const DetectorCounts& before,
                     const DetectorCounts& after) {
  DetectorCounts counts;
  counts.areas = after.areas - before.areas;
  counts.candidates = after.candidates - before.candidates;
  counts.no_fit = after.no_fit - before.no_fit;
  counts.wrong_size = after.wrong_size - before.wrong_size;
  counts.faint = after.faint - before.faint;
  counts.misfit = after.misfit - before.misfit;
  return counts;
}

// What became of everything that changed, per frame: each fit takes longer than
// a look at the whole plane.
void print_counts(const char* plane,
                  const DetectorCounts& counts,
                  double per_frame) {
  const auto each = [&](long count) {
    return static_cast<double>(count) * per_frame;
  };
  fmt::print(
      "  {:10}  {:.1f} areas, {:.1f} candidates: {:.2f} no fit, {:.2f} of a "
      "wrong size, {:.2f} faint, {:.2f} misfit\n",
      plane,
      each(counts.areas),
      each(counts.candidates),
      each(counts.no_fit),
      each(counts.wrong_size),
      each(counts.faint),
      each(counts.misfit));
}

// Everything but decoding in this one thread, whose own time is counted.
void print_stages(const Profile& profile,
                  const std::filesystem::path& film,
                  const Bench& bench) {
  const MeasureOptions options;
  const double decode = decoding_s(film);
  const double before_s = processor_s(CLOCK_PROCESS_CPUTIME_ID);
  BallDetector detector(
      options.detector, bench.camera, profile.surface, profile.flight.ball);
  detector.learn(opening_stills(film));
  const double start = processor_s(CLOCK_PROCESS_CPUTIME_ID) - before_s;
  VideoSource source(film);
  FeedMeasurer measurer(bench, profile, options);
  double bright = 0, colour = 0, track = 0;
  DetectorCounts bright_counts, all_counts;
  long frames = 0;
  double mark = 0;
  const auto lap = [&] {
    const double now = processor_s(CLOCK_THREAD_CPUTIME_ID);
    return now - std::exchange(mark, now);
  };
  while (const auto frame = source.next()) {
    lap();
    auto sightings = detector.detect_brightness(*frame);
    bright += lap();
    bright_counts += added(all_counts, detector.counts());
    sightings = detector.add_colour(*frame, std::move(sightings));
    colour += lap();
    all_counts = detector.counts();
    measurer.add_frame(frame->t_s, sightings);
    track += lap();
    ++frames;
  }
  lap();
  const Measurement measurement = measurer.finish();
  const double last = lap();
  const double per_frame = 1e3 / static_cast<double>(frames);
  fmt::print(
      "processor time, ms per frame of {}:\n"
      "  decoding            {:6.2f}\n"
      "  detection           {:6.2f}  (brightness {:.2f}, colour {:.2f})\n"
      "  tracks, flights     {:6.2f}\n"
      "  session's flights   {:6.2f}  ({} feeds, at the end)\n"
      "  opening background  {:6.2f}  ({:.2f} s, once)\n",
      frames,
      decode * per_frame,
      (bright + colour) * per_frame,
      bright * per_frame,
      colour * per_frame,
      track * per_frame,
      last * per_frame,
      measurement.fit.feeds.size(),
      start * per_frame,
      start);
  fmt::print("changes per frame:\n");
  print_counts("brightness", bright_counts, per_frame / 1e3);
  print_counts("colour", added(bright_counts, all_counts), per_frame / 1e3);
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  const int rounds = argc == 6 ? std::atoi(argv[5]) : 3;
  if ((argc != 5 && argc != 6) || rounds < 1) {
    fmt::print(stderr,
               "usage: throughput PROFILE FILM BENCH.toml EVENFEED [ROUNDS]\n");
    return 2;
  }
  const std::filesystem::path film = argv[2];
  const std::string out =
      (std::filesystem::temp_directory_path() / "throughput_feeds.csv")
          .string();
  Cost plain, measured;
  std::vector<double> ratios;
  for (int i = 0; i < rounds; ++i) {
    const Cost decoding = run(
        {"ffmpeg", "-nostdin", "-i", film.string(), "-an", "-f", "null", "-"});
    const Cost measuring = run({argv[4],
                                "measure",
                                film.string(),
                                "--bench",
                                argv[3],
                                "--profile",
                                argv[1],
                                "--out",
                                out,
                                "--quiet"});
    keep_best(plain, decoding);
    keep_best(measured, measuring);
    ratios.push_back(measuring.wall_s / decoding.wall_s);
  }
  std::sort(ratios.begin(), ratios.end());
  std::filesystem::remove(out);
  const VideoSource source(film);
  const auto frames = static_cast<double>(source.info().expected_frames);
  const double megabits =
      8e-6 * static_cast<double>(std::filesystem::file_size(film));
  fmt::print("{}: {} x {}, {:.0f} frames, {:.1f} Mbit/s\n",
             film.string(),
             source.info().width_px,
             source.info().height_px,
             frames,
             megabits / source.info().duration_s);
  fmt::print("plain decoding {:.2f} s wall, {:.2f} s CPU: {:.0f} frames/s\n",
             plain.wall_s,
             plain.cpu_s,
             frames / plain.wall_s);
  fmt::print(
      "measure        {:.2f} s wall, {:.2f} s CPU: {:.0f} frames/s, {:.1f} x "
      "real time, peak {:.0f} MB\n",
      measured.wall_s,
      measured.cpu_s,
      frames / measured.wall_s,
      source.info().duration_s / measured.wall_s,
      measured.peak_mb);
  fmt::print(
      "measure / plain decoding: {:.2f} by the quickest, {:.2f} in the middle "
      "of {} rounds ({:.2f} to {:.2f})\n",
      measured.wall_s / plain.wall_s,
      ratios[ratios.size() / 2],
      ratios.size(),
      ratios.front(),
      ratios.back());
  print_stages(load_profile(argv[1]), film, load_bench(argv[3]));
}
