// SPDX-License-Identifier: MIT
#include "vision/video_source.h"

#include "base/check.h"
#include "vision/video_decoder.h"

#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <thread>

#include <opencv2/core.hpp>

namespace evenfeed {

void VideoOptions::check() const {
  require_in_range(decoder_threads, 0, 64, "decoder_threads");
  require_in_range(frames_ahead, 0, 64, "frames_ahead");
}

// One thread fills a short queue; the caller empties it. The queue's bound is
// what keeps memory from growing when the caller is the slower side.
struct VideoSource::Impl {
  VideoDecoder decoder;
  VideoInfo info;  // the decoder itself belongs to the thread while it runs
  std::size_t frames_ahead;

  std::mutex mutex;
  std::condition_variable changed;
  std::deque<Frame> queue;
  std::exception_ptr failure;
  bool ended = false;
  bool stopping = false;
  std::thread worker;

  Impl(const std::filesystem::path& path, const VideoOptions& options)
      : decoder(path, options),
        info(decoder.info()),
        frames_ahead(static_cast<std::size_t>(options.frames_ahead)) {
    if (frames_ahead > 0) worker = std::thread([this] { fill(); });
  }

  ~Impl() {
    {
      const std::lock_guard lock(mutex);
      stopping = true;
    }
    changed.notify_all();
    if (worker.joinable()) worker.join();
  }

  void fill() {
    try {
      while (std::optional<Frame> frame = decoder.next()) {
        std::unique_lock lock(mutex);
        changed.wait(lock,
                     [&] { return stopping || queue.size() < frames_ahead; });
        if (stopping) return;
        queue.push_back(std::move(*frame));
        changed.notify_all();
      }
    } catch (...) {
      const std::lock_guard lock(mutex);
      failure = std::current_exception();
    }
    const std::lock_guard lock(mutex);
    ended = true;
    changed.notify_all();
  }

  std::optional<Frame> next() {
    if (frames_ahead == 0) return decoder.next();
    std::unique_lock lock(mutex);
    changed.wait(lock, [&] { return !queue.empty() || ended; });
    if (queue.empty()) {
      if (failure) std::rethrow_exception(std::exchange(failure, nullptr));
      return std::nullopt;
    }
    Frame frame = std::move(queue.front());
    queue.pop_front();
    changed.notify_all();
    return frame;
  }

  std::vector<std::string> notes() {
    const std::lock_guard lock(mutex);
    const bool decoder_is_ours = frames_ahead == 0 || ended;
    return decoder_is_ours ? decoder.notes() : std::vector<std::string>{};
  }
};

VideoSource::VideoSource(const std::filesystem::path& path,
                         const VideoOptions& options)
    : impl_(std::make_unique<Impl>(path, options)) {}
VideoSource::~VideoSource() = default;
VideoSource::VideoSource(VideoSource&&) noexcept = default;
VideoSource& VideoSource::operator=(VideoSource&&) noexcept = default;

const VideoInfo& VideoSource::info() const { return impl_->info; }
std::optional<Frame> VideoSource::next() { return impl_->next(); }
std::vector<std::string> VideoSource::notes() const { return impl_->notes(); }

cv::Mat turned_for_display(const cv::Mat& picture, int rotation_deg) {
  if (picture.empty()) return picture;
  cv::Mat turned;
  switch (rotation_deg) {
    case 0:
      return picture;
    case 90:
      cv::rotate(picture, turned, cv::ROTATE_90_CLOCKWISE);
      return turned;
    case 180:
      cv::rotate(picture, turned, cv::ROTATE_180);
      return turned;
    case 270:
      cv::rotate(picture, turned, cv::ROTATE_90_COUNTERCLOCKWISE);
      return turned;
    default:
      require(false, "rotation must be 0, 90, 180 or 270 degrees");
      return {};
  }
}

}  // namespace evenfeed
