// SPDX-License-Identifier: MIT
// A few frames of a film, without reading all of it.
#pragma once

#include "film/video_source.h"

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

/// About `count` frames spread evenly over the film, fewer when it is shorter,
/// each with a luma of its own; for a still picture of the background. Jumps
/// between key frames where that is quicker, so that a long film costs little.
/// Frame::index counts the samples.
std::vector<Frame> sample_frames(const std::filesystem::path& path,
                                 int count,
                                 const VideoOptions& options = {});

/// What is to be known of a film before its pictures are decoded: pixels made
/// square, a slow film's times, damaged pieces, an end that comes early. Reads
/// the file through once.
[[nodiscard]] std::vector<std::string> film_notes(
    const std::filesystem::path& path, const VideoOptions& options = {});

/// `count` frames (fewer when there are not so many) of the first `span_s`, in
/// three groups behind key frames; all is decoded, but of a twentieth of the
/// film, where there are no key frames, and at least the first `count` frames.
std::vector<Frame> sample_opening(const std::filesystem::path& path,
                                  int count,
                                  double span_s,
                                  const VideoOptions& options = {});

}  // namespace evenfeed
