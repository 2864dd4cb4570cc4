// SPDX-License-Identifier: MIT
#include "film/video_source.h"

#include "base/bounded_queue.h"
#include "base/check.h"
#include "base/error.h"
#include "film/video_decoder.h"

#include <algorithm>
#include <thread>

#include <opencv2/core.hpp>

namespace evenfeed {

void VideoOptions::check() const {
  require_in_range(decoder_threads, 0, 64, "decoder_threads");
  require_in_range(frames_ahead, 0, 64, "frames_ahead");
  if (slow) require_in_range(*slow, 0.01, 1000, "slow");
}

// One thread decodes ahead of the caller, by a few frames.
struct VideoSource::Impl {
  VideoDecoder decoder;
  VideoInfo info;  // the decoder itself belongs to the thread while it runs
  bool ahead;
  BoundedQueue<Frame> queue;
  std::thread worker;

  Impl(const std::filesystem::path& path, const VideoOptions& options)
      : decoder(path, options),
        info(decoder.info()),
        ahead(options.frames_ahead > 0),
        queue(static_cast<std::size_t>(std::max(options.frames_ahead, 1))) {
    if (ahead) {
      worker = std::thread(
          [this] { queue.give_all([this] { return decoder.next(); }); });
    }
  }

  ~Impl() {
    queue.abandon();
    if (worker.joinable()) worker.join();
  }

  std::optional<Frame> next() { return ahead ? queue.pop() : decoder.next(); }

  std::vector<std::string> notes() {
    const bool decoder_is_ours = !ahead || queue.finished();
    return decoder_is_ours ? decoder.notes() : std::vector<std::string>{};
  }

  std::vector<double> joins_s() {
    const bool decoder_is_ours = !ahead || queue.finished();
    return decoder_is_ours ? decoder.joins_s() : std::vector<double>{};
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
std::vector<double> VideoSource::joins_s() const { return impl_->joins_s(); }

void require_film(const VideoInfo& info) {
  if (!info.still_picture) return;
  throw InputError(info.file,
                   "this is a still picture, which shows no flight",
                   "Give the film. Only 'evenfeed calibrate' takes a picture");
}

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
