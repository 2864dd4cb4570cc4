// SPDX-License-Identifier: MIT
#include "live/live_run.h"

#include "detection/ball_detector.h"
#include "pipeline/film_sightings.h"

#include <algorithm>
#include <chrono>
#include <memory>
#include <optional>
#include <thread>
#include <utility>

namespace evenfeed {
namespace {

using Clock = std::chrono::steady_clock;

// How soon a wish to stop is heard.
constexpr std::chrono::milliseconds kNap{20};

void sleep_until(Clock::time_point when, const std::atomic<bool>& stop) {
  while (!stop) {
    const auto left = when - Clock::now();
    if (left <= Clock::duration::zero()) return;
    std::this_thread::sleep_for(std::min<Clock::duration>(left, kNap));
  }
}

// When the film's moments come. Set by whoever hands on frames, asked by
// whoever looks at them.
class OwnClock {
 public:
  Clock::time_point when(double t_s) {
    const auto t = std::chrono::duration_cast<Clock::duration>(
        std::chrono::duration<double>(t_s));
    if (zero_.load() == Clock::time_point()) zero_ = Clock::now() - t;
    return zero_.load() + t;
  }
  double now_s() const {
    return std::chrono::duration<double>(Clock::now() - zero_.load()).count();
  }

 private:
  std::atomic<Clock::time_point> zero_{Clock::time_point()};
};

}  // namespace

FrameGiver until_stopped(FrameGiver give, const std::atomic<bool>& stop) {
  return [give = std::move(give), &stop]() -> std::optional<Frame> {
    return stop ? std::nullopt : give();
  };
}

LiveFrames at_own_speed(LiveFrames film, const std::atomic<bool>& stop) {
  auto began = std::make_shared<OwnClock>();
  film.newest_s = [began] { return began->now_s(); };
  film.next =
      [give = until_stopped(std::move(film.next), stop), &stop, began]() {
        std::optional<Frame> frame = give();
        if (frame) sleep_until(began->when(frame->t_s), stop);
        return frame;
      };
  return film;
}

LiveRun::LiveRun(const Bench& bench,
                 const Profile& profile,
                 EngineOptions options,
                 LiveEngine::Listener listener,
                 Witness witness)
    : bench_(bench),
      profile_(profile),
      options_(options.measure),
      engine_(bench, profile, std::move(options), std::move(listener)),
      witness_(std::move(witness)) {}

Measurement LiveRun::run(LiveFrames frames) {
  require_same_picture(frames.info, bench_.camera);
  BallDetector detector(
      options_.detector, bench_.camera, profile_.surface, profile_.flight.ball);
  detector.learn(frames.opening);
  if (options_.onlooker.begin) {
    options_.onlooker.begin(frames.info, frames.opening);
  }
  frames.opening.clear();
  CameraWatch watch(bench_.camera, profile_.surface, options_.watch);
  {
    FilmSightings seen(std::move(frames.next),
                       detector,
                       options_.in_threads,
                       &watch,
                       options_.onlooker.frame);
    while (auto frame = seen.next()) {
      if (frames.clock_error_s) frame->s_t_s = frames.clock_error_s();
      if (witness_) witness_(*frame);
      const double behind_s =
          frames.newest_s ? frames.newest_s() - frame->t_s : 0;
      engine_.add(std::move(*frame), behind_s);
    }
  }
  return engine_.finish(watch.take_news(), watch, frames.info.slow);
}

}  // namespace evenfeed
