// SPDX-License-Identifier: MIT
#include "live/quick_look.h"

#include "base/check.h"

#include <algorithm>

namespace evenfeed {
namespace {

// A track is known again by when it began; those that ended so long ago are
// forgotten.
constexpr double kForget_s = 10;
constexpr double kSame_s = 1e-6;

}  // namespace

void QuickLookOptions::check() const {
  tracks.check();
  finder.check();
  require_in_range(unseen_steps, 1, 20, "unseen_steps");
  require_in_range(fewest_after, 2, 100, "fewest_after");
  require_in_range(unseen_once, 0.5, 20, "unseen_once");
  require_in_range(enough_after, 2, 100, "enough_after");
  require_in_range(ball_from, 3, 100, "ball_from");
}

QuickLook::QuickLook(const CameraModel& camera,
                     const Surface& surface,
                     const FlightOptions& flight,
                     const QuickLookOptions& options)
    : options_(options),
      gloss_(camera, surface),
      tracks_(options.tracks),
      finder_(camera, surface, flight, options.finder) {
  options_.check();
}

QuickLook::Looked& QuickLook::looked_at(const Track& track) {
  for (Looked& one : looked_) {
    if (std::abs(one.start_s - track.start_s()) < kSame_s) return one;
  }
  looked_.push_back({track.start_s(), 0, false});
  return looked_.back();
}

std::optional<FoundFeed> QuickLook::look(const Track& track, Unseen how) {
  Looked& seen = looked_at(track);
  if (seen.told || seen.end_s == track.end_s()) return std::nullopt;
  if (how == Unseen::kTwice) seen.end_s = track.end_s();
  std::optional<FoundFeed> feed = finder_.look(track);
  if (!feed || !feed->whole()) return std::nullopt;
  const int least = how == Unseen::kClosed  ? 0
                    : how == Unseen::kTwice ? options_.fewest_after
                                            : options_.enough_after;
  if (feed->fit.after < least) return std::nullopt;
  seen.told = true;
  return feed;
}

std::vector<FoundFeed> QuickLook::add_frame(
    double t_s, const std::vector<Sighting>& sightings) {
  std::vector<FoundFeed> found;
  const auto take = [&](const Track& track, Unseen how) {
    if (auto feed = look(track, how)) found.push_back(std::move(*feed));
  };
  gloss_.add_frame(t_s, sightings);
  const std::vector<Sighting> balls = gloss_.without_images(sightings);
  for (const Track& track : tracks_.add_frame(t_s, balls)) {
    take(track, Unseen::kClosed);
  }
  const double unseen_s = options_.unseen_steps * tracks_.frame_step_s();
  for (const Track& track : tracks_.open()) {
    const int seen = static_cast<int>(track.sightings.size());
    if (seen < options_.ball_from) continue;
    if (seen == options_.ball_from && track.end_s() > t_s - unseen_s) {
      ball_seen_ = true;
    }
    const double gone_s = t_s - track.end_s();
    if (gone_s >= unseen_s) {
      take(track, Unseen::kTwice);
    } else if (gone_s >= options_.unseen_once * tracks_.frame_step_s()) {
      take(track, Unseen::kOnce);
    }
  }
  std::erase_if(looked_, [&](const Looked& one) {
    return std::max(one.start_s, one.end_s) < t_s - kForget_s;
  });
  return found;
}

}  // namespace evenfeed
