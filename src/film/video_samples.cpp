// SPDX-License-Identifier: MIT
#include "film/video_samples.h"

#include "base/check.h"
#include "film/video_decoder.h"
#include "film/video_source.h"

#include <algorithm>

namespace evenfeed {
namespace {

void keep(const Frame& frame, std::vector<Frame>& samples) {
  Frame copy;
  copy.index = static_cast<int>(samples.size());
  copy.t_s = frame.t_s;
  copy.luma = frame.luma.clone();
  copy.blue = frame.blue.clone();
  copy.red = frame.red.clone();
  samples.push_back(std::move(copy));
}

}  // namespace

std::vector<Frame> sample_frames(const std::filesystem::path& path,
                                 int count,
                                 const VideoOptions& options) {
  require_in_range(count, 1, 10000, "count");
  VideoDecoder decoder(path, options);
  const double step_s = decoder.info().duration_s / count;
  std::vector<Frame> samples;
  double wanted_s = 0;
  std::optional<Frame> frame = decoder.next();
  while (frame && static_cast<int>(samples.size()) < count) {
    // A key frame up to half a step early saves decoding up to the mark.
    if (frame->t_s >= wanted_s - step_s / 2) {
      keep(*frame, samples);
      wanted_s = std::max(wanted_s, frame->t_s) + step_s;
      decoder.jump_towards(wanted_s);
    }
    frame = decoder.next();
  }
  return samples;
}

std::vector<std::string> film_notes(const std::filesystem::path& path,
                                    const VideoOptions& options) {
  VideoDecoder decoder(path, options);
  decoder.skim();
  return decoder.notes();
}

// Decoding all of the opening would cost as much as measuring it. What rests or
// rolls while one group is taken is not there in the others.
std::vector<Frame> sample_opening(const std::filesystem::path& path,
                                  int count,
                                  double span_s,
                                  const VideoOptions& options) {
  constexpr int kGroups = 3;
  require_in_range(count, 1, 10000, "count");
  VideoDecoder decoder(path, options);
  const double duration_s = decoder.info().duration_s;
  const double decoded_s =
      duration_s > 0 ? std::min(span_s, duration_s / 20) : span_s;
  std::vector<Frame> samples;
  for (int group = 0; group < kGroups; ++group) {
    const int until = count * (group + 1) / kGroups;
    const bool jumped = decoder.jump_towards(span_s * group / (kGroups - 1));
    const double from_s = jumped ? 0 : decoded_s * group / kGroups;
    while (static_cast<int>(samples.size()) < until) {
      const std::optional<Frame> frame = decoder.next();
      if (!frame) return samples;
      if (frame->t_s + 1e-9 >= from_s) keep(*frame, samples);
    }
  }
  return samples;
}

}  // namespace evenfeed
