// SPDX-License-Identifier: MIT
#include "flight/unlike_bounce.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestFeeds = 5;
constexpr double kSigmas = 6;
constexpr double kLeastSpread = 0.02;  // of launchers, of the speed

Eigen::Vector2d kept(const FoundFeed& feed) {
  const FlightVector& p = feed.fit.parameters;
  return kept_of_speed(p, flat_speed_in(p));
}

// Those whose bounce was well seen; where they are too few, since the sample
// stands close behind it, all: most of these are right, too.
std::vector<const FoundFeed*> to_go_by(const std::vector<FoundFeed>& found) {
  std::vector<const FoundFeed*> well_seen, whole;
  for (const FoundFeed& feed : found) {
    if (feed.well_seen()) well_seen.push_back(&feed);
    if (feed.whole()) whole.push_back(&feed);
  }
  return well_seen.size() < kFewestFeeds ? whole : well_seen;
}

}  // namespace

void refuse_unlike_bounces(std::vector<FoundFeed>& found) {
  std::vector<double> along, across;
  for (const FoundFeed* feed : to_go_by(found)) {
    const Eigen::Vector2d share = kept(*feed);
    along.push_back(share.x());
    across.push_back(share.y());
  }
  if (along.size() < kFewestFeeds) return;
  const Eigen::Vector2d usual(median(along), median(across));
  const Eigen::Vector2d most =
      kSigmas * Eigen::Vector2d(
                    std::max(kLeastSpread, median_absolute_deviation(along)),
                    std::max(kLeastSpread, median_absolute_deviation(across)));
  for (FoundFeed& feed : found) {
    if (!feed.whole() || feed.well_seen()) continue;
    const Eigen::Vector2d off = kept(feed) - usual;
    if (std::abs(off.x()) <= most.x() && std::abs(off.y()) <= most.y()) {
      continue;
    }
    feed.fit.status = FitStatus::kPoorFit;
    feed.fit.message = fmt::format(
        "seen twice after its bounce, which would be unlike the others' (it "
        "keeps {:.0f} % of its speed, they {:.0f} %)",
        100 * (usual.x() + off.x()),
        100 * usual.x());
  }
}

}  // namespace evenfeed
