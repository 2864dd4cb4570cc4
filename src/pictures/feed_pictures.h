// SPDX-License-Identifier: MIT
// The stills of a session's feeds, made after the film was read through once:
// the ball's pictures are kept while it is read, the rest is drawn afterwards.
#pragma once

#include "film/video_source.h"
#include "pictures/feed_still.h"

#include <functional>

namespace evenfeed {

struct FeedPicture {
  int number = 0;    ///< of the feed
  std::string jpeg;  ///< the file's bytes
};

class FeedPictures {
 public:
  /// Needs room for a file in `folder`. Throws as CutSpool does.
  explicit FeedPictures(const std::filesystem::path& folder) : spool_(folder) {}

  /// Once, before any frame: stills of the film's opening, whose median is the
  /// empty scene.
  void begin(const VideoInfo& film, const std::vector<Frame>& opening);
  /// Each frame with what was seen in it, in order; beside decoding.
  void add(const Frame& frame, const std::vector<Sighting>& sightings) {
    spool_.add(frame, sightings);
  }

  /// A still of each of `feeds` (in order of their first sighting) that is
  /// wanted, in that order. A few feeds' balls are in memory at a time. Once.
  [[nodiscard]] std::vector<FeedPicture> draw(
      const std::vector<FlownFeed>& feeds,
      const std::function<bool(int number)>& wanted,
      const StillOptions& options = {});

  /// Why pictures lack balls; empty when they do not.
  const std::string& broken() const { return spool_.broken(); }

 private:
  CutSpool spool_;
  VideoInfo film_;
  cv::Mat scene_;
};

}  // namespace evenfeed
