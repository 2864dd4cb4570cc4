// SPDX-License-Identifier: MIT
#include "pictures/feed_pictures.h"

#include "base/check.h"
#include "base/parallel.h"
#include "film/colour_picture.h"
#include "film/median_frame.h"

#include <algorithm>
#include <deque>
#include <limits>

namespace evenfeed {
namespace {

constexpr std::size_t kAtATime = 8;  // feeds whose balls are in memory

struct Frames {
  int first = std::numeric_limits<int>::max();
  int last = -1;
};

Frames frames_of(const FlownFeed& feed) {
  Frames frames;
  for (const Sighting& s : feed.sightings) {
    frames.first = std::min(frames.first, s.frame);
    frames.last = std::max(frames.last, s.frame);
  }
  return frames;
}

// The cuts in memory: from the first frame that is still asked for on.
class Window {
 public:
  Window(CutSpool& spool, const ColourCode& code) : spool_(spool) {
    spool.rewind(code);
  }

  std::vector<BallCut> between(const Frames& frames) {
    while (!ended_ && (cuts_.empty() || cuts_.back().frame <= frames.last)) {
      if (std::optional<BallCut> cut = spool_.next()) {
        if (cut->frame >= oldest_) cuts_.push_back(std::move(*cut));
      } else {
        ended_ = true;
      }
    }
    std::vector<BallCut> found;
    for (const BallCut& cut : cuts_) {
      if (cut.frame >= frames.first && cut.frame <= frames.last) {
        found.push_back(cut);
      }
    }
    return found;
  }

  void forget_before(int frame) {
    oldest_ = std::max(oldest_, frame);
    while (!cuts_.empty() && cuts_.front().frame < oldest_) cuts_.pop_front();
  }

 private:
  CutSpool& spool_;
  std::deque<BallCut> cuts_;
  int oldest_ = 0;
  bool ended_ = false;
};

}  // namespace

void FeedPictures::begin(const VideoInfo& film,
                         const std::vector<Frame>& opening) {
  film_ = film;
  scene_ = colour_picture(median_frame(opening), film.colours);
}

std::vector<FeedPicture> FeedPictures::draw(
    const std::vector<FlownFeed>& feeds,
    const std::function<bool(int number)>& wanted,
    const StillOptions& options) {
  require(!scene_.empty(), "FeedPictures: nothing was begun");
  std::vector<const FlownFeed*> asked;
  for (const FlownFeed& feed : feeds) {
    if (wanted(feed.number) && !feed.sightings.empty()) asked.push_back(&feed);
  }
  std::vector<FeedPicture> pictures(asked.size());
  Window window(spool_, film_.colours);
  for (std::size_t from = 0; from < asked.size(); from += kAtATime) {
    const std::size_t count = std::min(kAtATime, asked.size() - from);
    std::vector<std::vector<BallCut>> cuts(count);
    for (std::size_t i = 0; i < count; ++i) {
      const FlownFeed& feed = *asked[from + i];
      const Frames frames = frames_of(feed);
      window.forget_before(frames.first);
      cuts[i] = cuts_of_feed(feed, window.between(frames));
    }
    for_each_index(count, [&](std::size_t i) {
      const FlownFeed& feed = *asked[from + i];
      pictures[from + i] = {
          feed.number,
          draw_feed(scene_, film_.rotation_deg, feed, cuts[i], options)};
    });
  }
  return pictures;
}

}  // namespace evenfeed
