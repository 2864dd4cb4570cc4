// SPDX-License-Identifier: MIT
#include "cli/live_camera.h"

#include "base/error.h"
#include "cli/wanted_size.h"
#include "live/stream_clock.h"

#include <chrono>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

double now_s() {
  return std::chrono::duration<double>(
             std::chrono::steady_clock::now().time_since_epoch())
      .count();
}

}  // namespace

void LiveCameraArgs::setup(Arguments& args) {
  args.add_option("SOURCE",
                  address,
                  "The camera: /dev/video0, an address (rtsp://, http://, "
                  "tcp://, udp://), a FIFO, or - for what is piped in")
      .takes("SOURCE");
  args.add_option(
          "--size", size, "Picture to ask a capture device for, as 1280x720")
      .takes("WIDTHxHEIGHT");
  args.add_option("--rate",
                  rate_hz,
                  "Pictures a second: to ask a capture device for, or what a "
                  "stream has that does not say so")
      .within(1, 10000);
}

StreamOptions LiveCameraArgs::options() const {
  StreamOptions options;
  options.address = address;
  options.rate_hz = rate_hz;
  if (!size.empty()) {
    const WantedSize asked = wanted_size("--size", size);
    options.width_px = asked.width_px;
    options.height_px = asked.height_px;
  }
  return options;
}

void LiveCameraArgs::take(const StreamOptions& options) {
  address = options.address;
  rate_hz = options.rate_hz;
  if (options.width_px > 0) {
    size = fmt::format("{}x{}", options.width_px, options.height_px);
  }
}

LiveCamera::LiveCamera(const StreamOptions& options,
                       const fs::path& folder,
                       double begin_s,
                       int begin_index,
                       const std::atomic<bool>& stop)
    : disk_(free_on_disk_of(folder)) {
  StreamPlan plan;
  plan.stream = options;
  plan.clock = stream_clocks();
  plan.film = folder / kLiveFilm;
  plan.begin_s = begin_s;
  plan.begin_index = begin_index;
  plan.news = [this](const StreamNews& news) { tell(news); };
  plan.may_record = [this] { return may_record(); };
  source_ = std::make_unique<StreamSource>(plan, stop);
}

LiveCamera::~LiveCamera() = default;

bool LiveCamera::may_record() {
  const std::string words = disk_.look(now_s());
  // That it is full is told by whoever has to stop for it.
  if (!words.empty() && disk_.room()) {
    tell({StreamNewsKind::kNoRecord, 0, words});
  }
  return disk_.room();
}

void LiveCamera::tell(const StreamNews& news) {
  const std::lock_guard lock(mutex_);
  if (engine_ == nullptr) {
    untold_.push_back(news);
    return;
  }
  switch (news.kind) {
    case StreamNewsKind::kLost:
      return engine_->tell_camera(false, news.t_s, news.words);
    case StreamNewsKind::kBack:
      return engine_->tell_camera(true, news.t_s, news.words);
    case StreamNewsKind::kClock:
      return engine_->tell_trouble(LiveEventKind::kClock, news.t_s, news.words);
    case StreamNewsKind::kBehind:
      return engine_->tell_trouble(
          LiveEventKind::kBehind, news.t_s, news.words);
    case StreamNewsKind::kNoRecord:
      return engine_->tell_trouble(LiveEventKind::kDisk, news.t_s, news.words);
  }
}

void LiveCamera::report_to(LiveEngine& engine) {
  std::vector<StreamNews> untold;
  {
    const std::lock_guard lock(mutex_);
    engine_ = &engine;
    untold = std::exchange(untold_, {});
  }
  for (const StreamNews& news : untold) tell(news);
}

fs::path LiveCamera::film_of(double length_s) {
  source_->wait_for_film(length_s);
  const std::vector<fs::path> films = source_->films();
  if (films.empty()) {
    throw InputError("the camera",
                     "nothing could be recorded of it",
                     "See that it sends, and that the disk is not full");
  }
  return films.back();
}

LiveFrames LiveCamera::frames(std::vector<Frame> opening) {
  return {source_->info(),
          std::move(opening),
          [this] { return source_->next(); },
          [this] { return source_->clock_error_s(); },
          [this] { return source_->newest_s(); }};
}

std::vector<std::string> LiveCamera::close() {
  source_->close();
  return source_->notes();
}

}  // namespace evenfeed
