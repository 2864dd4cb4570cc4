// SPDX-License-Identifier: MIT
// A small colour picture of every ball seen in a film, kept in a file until it
// is known which feed it belongs to: in memory they would grow with the film.
#pragma once

#include "film/colour_code.h"
#include "film/frame.h"
#include "geometry/sighting.h"

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BallCut {
  int frame = -1;             ///< Frame::index
  Eigen::Vector2d seen_px{};  ///< the sighting's centre, as the film shows it
  cv::Point corner_px;        ///< upper left pixel of `picture` in the frame
  cv::Mat picture;            ///< CV_8UC3, blue first
};

class CutSpool {
 public:
  /// Some 700 000 balls of the usual size: hours of film. Noise that passes for
  /// balls shall not fill a disk.
  static constexpr std::uint64_t kMostBytes = 1'000'000'000;

  /// Keeps its file in `folder`, without a name, so that nothing of it is left
  /// however the program ends. Throws InputError when that cannot be.
  explicit CutSpool(const std::filesystem::path& folder,
                    std::uint64_t most_bytes = kMostBytes);

  /// Cuts each sighting out of its frame. Frames in order; from one thread at a
  /// time. A disk that is full, or more than a film can hold, ends it: then
  /// broken() tells, and what was kept stays.
  void add(const Frame& frame, const std::vector<Sighting>& sightings);

  /// Why not everything was kept; empty when it was.
  const std::string& broken() const { return broken_; }

  /// From here on cuts are read, the first one first, their colours by `code`.
  void rewind(const ColourCode& code);
  /// The next cut; nullopt at the end.
  std::optional<BallCut> next();

 private:
  struct Closer {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  void keep(const Frame& frame,
            const cv::Rect& area,
            const Eigen::Vector2d& seen_px);
  bool put(const cv::Mat& plane);
  bool get(cv::Mat& plane, const cv::Size& size);

  std::unique_ptr<std::FILE, Closer> file_;
  std::uint64_t most_bytes_;
  std::uint64_t bytes_ = 0;
  ColourCode code_;
  std::string broken_;
};

}  // namespace evenfeed
