// SPDX-License-Identifier: MIT
#include "flight/end_at_contact.h"

#include "base/parallel.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace evenfeed {
namespace {

constexpr std::ptrdiff_t kMost = 2;

// How many of its last sightings are not the feed's alone.
std::ptrdiff_t behind_contact(const FoundFeed& feed,
                              double half_exposure_s,
                              const FlightOptions& options,
                              const FeedEnds& ends) {
  const auto contact = contact_of(feed.fit.parameters, options, ends);
  if (!contact) return 0;
  const auto own = std::find_if(
      feed.sightings.rbegin(), feed.sightings.rend(), [&](const Sighting& s) {
        return s.t_s + half_exposure_s <= contact->t_s;
      });
  return own - feed.sightings.rbegin();
}

bool end_one(FoundFeed& feed,
             double half_exposure_s,
             const CameraModel& camera,
             const FlightOptions& options,
             const FeedEnds& ends) {
  FoundFeed shorter = feed;
  std::ptrdiff_t taken = 0;
  // Freed of one, the flight arrives elsewhere.
  while (taken <= kMost) {
    if (!shorter.whole()) break;
    const auto behind = behind_contact(shorter, half_exposure_s, options, ends);
    if (behind == 0) break;
    shorter.sightings.resize(shorter.sightings.size() -
                             static_cast<std::size_t>(behind));
    taken += behind;
    shorter.fit = refine_flight(
        shorter.sightings, camera, options, shorter.fit.parameters);
  }
  if (taken == 0 || taken > kMost || !shorter.fit.ok()) return false;
  feed = std::move(shorter);
  return true;
}

}  // namespace

int end_at_contact(std::vector<FoundFeed>& found,
                   const std::vector<ReturnFit>& returns,
                   const CameraModel& camera,
                   const FlightOptions& options,
                   const FeedEnds& ends) {
  std::vector<int> ended(found.size(), 0);
  for_each_index(found.size(), [&](std::size_t i) {
    if (!found[i].whole() || !returns[i].fit.ok()) return;
    ended[i] = end_one(
        found[i], camera.exposure_or_zero_s() / 2, camera, options, ends);
  });
  return static_cast<int>(std::count(ended.begin(), ended.end(), 1));
}

}  // namespace evenfeed
