// SPDX-License-Identifier: MIT
#include "film/film_stretch.h"

#include "film/video_decoder.h"

namespace evenfeed {
namespace {

constexpr double kSameTime_s = 1e-6;  // of a time that went through a file

}  // namespace

struct FilmStretch::Impl {
  VideoDecoder decoder;
  double from_s;
  double until_s;
};

FilmStretch::FilmStretch(const std::filesystem::path& film,
                         double from_s,
                         double until_s,
                         const VideoOptions& options)
    : impl_(new Impl{{film, options}, from_s, until_s}) {
  impl_->decoder.jump_towards(from_s);
}

FilmStretch::~FilmStretch() = default;

const VideoInfo& FilmStretch::info() const { return impl_->decoder.info(); }

std::optional<Frame> FilmStretch::next() {
  while (std::optional<Frame> frame = impl_->decoder.next()) {
    if (frame->t_s > impl_->until_s + kSameTime_s) return std::nullopt;
    if (frame->t_s >= impl_->from_s - kSameTime_s) return frame;
  }
  return std::nullopt;
}

}  // namespace evenfeed
