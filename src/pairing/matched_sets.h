// SPDX-License-Identifier: MIT
// Feeds of two or more samples put together so that each set got the same
// feed.
#pragma once

#include "pairing/feed_distance.h"
#include "pairing/sample.h"

#include <string>
#include <vector>

namespace evenfeed {

/// Per sample the indices of its feeds in the set: one of the first sample,
/// one of each other, or up to `ratio` when there are two samples.
struct MatchedSet {
  std::vector<std::vector<int>> members;
  double distance = 0;  ///< summed over the pairs within the set
};

/// A feed that found no place.
struct LeftOut {
  int sample = 0;
  int feed = 0;      ///< index
  int nearest = -1;  ///< index in `of`; -1: there is none
  int of = 0;        ///< the sample of the nearest partner
  double distance = 0;
  std::vector<int> broken;  ///< characteristics; empty: it was taken
};

struct Matching {
  std::vector<MatchedSet> sets;
  std::vector<LeftOut> left_out;
  double distance = 0;  ///< of all sets
  int pairs = 0;        ///< two samples: of all sets; more: the sets
  bool exact = true;    ///< false for three samples or more
};

/// Two samples: the maximum number of pairs within calipers, among those the
/// least total distance, exactly. More: sets that hold one feed of each, every
/// two within calipers. The best sets are NP-hard to find (3-dimensional
/// assignment); samples are added one by one and then re-assigned in turn,
/// each exactly given the others, until neither number nor distance improves.
Matching match(const std::vector<Sample>& samples,
               const FeedDistance& distance,
               int ratio = 1);

}  // namespace evenfeed
