// SPDX-License-Identifier: MIT
#include "live/live_run.h"

#include "unit/live/bench_frames.h"

#include <chrono>
#include <optional>
#include <thread>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Frame grey(const CameraModel& camera, int index) {
  Frame frame;
  frame.index = index;
  frame.t_s = index / 60.0;
  frame.luma = cv::Mat(camera.height_px, camera.width_px, CV_8UC1, 90);
  return frame;
}

}  // namespace

TEST_CASE("pictures that the camera sent long ago are told as old") {
  BenchFrames made = bench_frames(1);
  made.bench.camera.width_px = 320;
  made.bench.camera.height_px = 240;
  std::vector<BenchWord> words;
  LiveRun run(made.bench, made.profile, {}, [&](const LiveEvent& event) {
    if (event.kind == LiveEventKind::kState) words.push_back(event.word);
  });
  LiveFrames frames;
  frames.info.width_px = made.bench.camera.width_px;
  frames.info.height_px = made.bench.camera.height_px;
  for (int i = 0; i < 3; ++i) {
    frames.opening.push_back(grey(made.bench.camera, i));
  }
  frames.newest_s = [] { return 20.; };
  frames.next = [&, i = 0]() mutable -> std::optional<Frame> {
    if (i == 5) return std::nullopt;
    return grey(made.bench.camera, i++);
  };
  (void)run.run(std::move(frames));
  REQUIRE(words.size() == 2);
  CHECK(words[0] == BenchWord::kBehind);
  CHECK(words[1] == BenchWord::kWriting);
}

TEST_CASE("a film in a camera's place goes on whether it is looked at or not") {
  const std::atomic<bool> stop{false};
  LiveFrames film;
  film.next = [i = 0]() mutable -> std::optional<Frame> {
    Frame frame;
    frame.t_s = 0.02 * i++;
    return frame;
  };
  const LiveFrames paced = at_own_speed(std::move(film), stop);
  const auto from = std::chrono::steady_clock::now();
  CHECK(paced.next()->t_s == 0);
  CHECK(paced.next()->t_s == 0.02);
  const auto took = std::chrono::steady_clock::now() - from;
  CHECK(took >= std::chrono::milliseconds(19));
  std::this_thread::sleep_for(std::chrono::milliseconds(300));
  CHECK(paced.newest_s() - paced.next()->t_s > 0.25);
}
