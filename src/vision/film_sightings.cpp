// SPDX-License-Identifier: MIT
#include "vision/film_sightings.h"

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
  };

  VideoSource& film;
  BallDetector& detector;
  bool in_threads;
  BoundedQueue<Bright> bright{kWaiting};
  BoundedQueue<FrameSightings> done{kWaiting};
  std::thread brightness_worker;
  std::thread colour_worker;

  Impl(VideoSource& source, BallDetector& finder, bool threads)
      : film(source), detector(finder), in_threads(threads) {
    if (!in_threads) return;
    brightness_worker = std::thread(
        [this] { bright.give_all([this] { return next_bright(); }); });
    colour_worker = std::thread(
        [this] { done.give_all([this] { return next_with_colour(); }); });
  }

  ~Impl() {
    done.abandon();
    bright.abandon();
    if (brightness_worker.joinable()) brightness_worker.join();
    if (colour_worker.joinable()) colour_worker.join();
  }

  std::optional<Bright> next_bright() {
    std::optional<Frame> frame = film.next();
    if (!frame) return std::nullopt;
    std::vector<Sighting> sightings = detector.detect_brightness(*frame);
    return Bright{std::move(*frame), std::move(sightings)};
  }

  std::optional<FrameSightings> next_with_colour() {
    std::optional<Bright> seen = bright.pop();
    if (!seen) return std::nullopt;
    return FrameSightings{
        seen->frame.index,
        seen->frame.t_s,
        detector.add_colour(seen->frame, std::move(seen->sightings))};
  }

  std::optional<FrameSightings> next() {
    if (in_threads) return done.pop();
    std::optional<Frame> frame = film.next();
    if (!frame) return std::nullopt;
    return FrameSightings{frame->index, frame->t_s, detector.detect(*frame)};
  }
};

FilmSightings::FilmSightings(VideoSource& film,
                             BallDetector& detector,
                             bool in_threads)
    : impl_(std::make_unique<Impl>(film, detector, in_threads)) {}
FilmSightings::~FilmSightings() = default;

std::optional<FrameSightings> FilmSightings::next() { return impl_->next(); }

}  // namespace evenfeed
