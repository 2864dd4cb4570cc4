// SPDX-License-Identifier: MIT
#include "pipeline/film_sightings.h"

#include "base/bounded_queue.h"

#include <thread>
#include <utility>

namespace evenfeed {
namespace {

// Few: each frame that waits holds a decoded picture.
constexpr std::size_t kWaiting = 3;

}  // namespace

struct FilmSightings::Impl {
  struct Bright {
    Frame frame;
    std::vector<Sighting> sightings;
    WatchNews news;
  };

  FrameGiver give;
  BallDetector& detector;
  CameraWatch* watch;
  FrameCallback onlooker;
  bool in_threads;
  BoundedQueue<Bright> bright{kWaiting};
  BoundedQueue<FrameSightings> done{kWaiting};
  std::thread brightness_worker;
  std::thread colour_worker;

  Impl(FrameGiver giver,
       BallDetector& finder,
       bool threads,
       CameraWatch* watcher,
       FrameCallback shown)
      : give(std::move(giver)),
        detector(finder),
        watch(watcher),
        onlooker(std::move(shown)),
        in_threads(threads) {
    if (!in_threads) return;
    brightness_worker = std::thread(
        [this] { bright.give_all([this] { return next_bright(); }); });
    colour_worker = std::thread([this] {
      done.give_all([this] { return with_colour(bright.pop()); });
    });
  }

  ~Impl() {
    done.abandon();
    bright.abandon();
    if (brightness_worker.joinable()) brightness_worker.join();
    if (colour_worker.joinable()) colour_worker.join();
  }

  std::optional<Bright> next_bright() {
    std::optional<Frame> frame = give();
    if (!frame) {
      if (watch != nullptr) watch->finish();
      return std::nullopt;
    }
    Bright seen;
    seen.sightings = detector.detect_brightness(*frame);
    if (watch != nullptr) {
      watch->add_frame(frame->luma, frame->t_s);
      seen.news = watch->take_news();
    }
    seen.frame = std::move(*frame);
    return seen;
  }

  std::optional<FrameSightings> with_colour(std::optional<Bright> seen) {
    if (!seen) return std::nullopt;
    FrameSightings frame;
    frame.index = seen->frame.index;
    frame.t_s = seen->frame.t_s;
    frame.sightings =
        detector.add_colour(seen->frame, std::move(seen->sightings));
    frame.news = std::move(seen->news);
    if (onlooker) onlooker(seen->frame, frame.sightings);
    return frame;
  }

  std::optional<FrameSightings> next() {
    return in_threads ? done.pop() : with_colour(next_bright());
  }
};

FilmSightings::FilmSightings(VideoSource& film,
                             BallDetector& detector,
                             bool in_threads,
                             CameraWatch* watch,
                             FrameCallback onlooker)
    : FilmSightings([&film] { return film.next(); },
                    detector,
                    in_threads,
                    watch,
                    std::move(onlooker)) {}

FilmSightings::FilmSightings(FrameGiver give,
                             BallDetector& detector,
                             bool in_threads,
                             CameraWatch* watch,
                             FrameCallback onlooker)
    : impl_(std::make_unique<Impl>(
          std::move(give), detector, in_threads, watch, std::move(onlooker))) {}
FilmSightings::~FilmSightings() = default;

std::optional<FrameSightings> FilmSightings::next() { return impl_->next(); }

}  // namespace evenfeed
