// SPDX-License-Identifier: MIT
#include "pictures/slowed_film.h"

#include <utility>

namespace evenfeed {

H264Options coding_like(const VideoInfo& film,
                        const cv::Size& size,
                        double crf) {
  H264Options coding;
  coding.width_px = size.width / 2 * 2;
  coding.height_px = size.height / 2 * 2;
  coding.rate_hz = film.rate_hz > 0 ? film.rate_hz / film.slow : 30;
  coding.crf = crf;
  coding.colours = film.colours;
  return coding;
}

void SlowedFilm::add(YuvPicture picture, double t_s) {
  if (waiting_) show(t_s - t_s_);
  waiting_ = std::move(picture);
  t_s_ = t_s;
}

void SlowedFilm::finish() {
  if (waiting_) show(step_s_);
  waiting_.reset();
}

void SlowedFilm::show(double step_s) {
  for (int i = 0; i < slow_; ++i) {
    writer_.add(*waiting_, slow_ * t_s_ + i * step_s);
  }
}

}  // namespace evenfeed
