// SPDX-License-Identifier: MIT
// A film made of another's frames, at its pace or slower.
#pragma once

#include "film/h264_writer.h"
#include "film/video_source.h"

#include <optional>

namespace evenfeed {

/// Rate and colours as those of `film`; the size made even.
[[nodiscard]] H264Options coding_like(const VideoInfo& film,
                                      const cv::Size& size,
                                      double crf);

/// Frames in the time the film plays in, each `slow` times over.
class SlowedFilm {
 public:
  SlowedFilm(H264Writer& writer, int slow, double usual_step_s)
      : writer_(writer), slow_(slow), step_s_(usual_step_s) {}

  /// `t_s`: after the first one.
  void add(YuvPicture picture, double t_s);
  void finish();

 private:
  void show(double step_s);

  H264Writer& writer_;
  int slow_;
  double step_s_;
  std::optional<YuvPicture> waiting_;
  double t_s_ = 0;
};

}  // namespace evenfeed
