// SPDX-License-Identifier: MIT
#include "pairing/matched_sets.h"

#include "base/as_index.h"
#include "base/check.h"

#include <algorithm>
#include <limits>

namespace evenfeed {
namespace {

constexpr int kMostTurns = 20;

// Sums over the pairs within a set; infinite when a caliper is broken.
double within(const std::vector<Sample>& samples,
              const FeedDistance& distance,
              const MatchedSet& set) {
  double sum = 0;
  for (std::size_t s = 0; s < samples.size(); ++s) {
    for (std::size_t t = s + 1; t < samples.size(); ++t) {
      for (const int i : set.members[s]) {
        for (const int j : set.members[t]) {
          sum += distance.between(samples[s], i, samples[t], j);
        }
      }
    }
  }
  return sum;
}

// Every set asks for one feed of sample `s`; sets that get none are dropped.
std::vector<MatchedSet> extend(const std::vector<Sample>& samples,
                               const FeedDistance& distance,
                               const std::vector<MatchedSet>& sets,
                               std::size_t s) {
  Candidates candidates;
  candidates.columns = samples[s].size();
  for (const MatchedSet& set : sets) {
    for (int j = 0; j < samples[s].size(); ++j) {
      double cost = 0;
      bool near = true;
      for (std::size_t t = 0; near && t < samples.size(); ++t) {
        if (t == s || set.members[t].empty()) continue;
        const int i = set.members[t][0];
        near = distance.near(samples[t], i, samples[s], j);
        if (near) cost += distance.between(samples[t], i, samples[s], j);
      }
      if (near && std::isfinite(cost)) candidates.add(j, cost);
    }
    candidates.end_row();
  }
  const Assignment assignment = assign(candidates);
  std::vector<MatchedSet> result;
  for (std::size_t k = 0; k < sets.size(); ++k) {
    if (assignment.partners[k].empty()) continue;
    result.push_back(sets[k]);
    result.back().members[s] = assignment.partners[k];
  }
  return result;
}

double total(const std::vector<MatchedSet>& sets) {
  double sum = 0;
  for (const MatchedSet& set : sets) sum += set.distance;
  return sum;
}

std::vector<MatchedSet> match_many(const std::vector<Sample>& samples,
                                   const FeedDistance& distance) {
  std::vector<MatchedSet> sets;
  for (int i = 0; i < samples[0].size(); ++i) {
    sets.push_back({std::vector<std::vector<int>>(samples.size()), 0});
    sets.back().members[0] = {i};
  }
  for (std::size_t s = 1; s < samples.size(); ++s) {
    sets = extend(samples, distance, sets, s);
  }
  const auto measure = [&](std::vector<MatchedSet>& some) {
    for (MatchedSet& set : some) set.distance = within(samples, distance, set);
  };
  measure(sets);
  bool better = true;
  for (int turn = 0; better && turn < kMostTurns; ++turn) {
    better = false;
    for (std::size_t s = 0; s < samples.size(); ++s) {
      std::vector<MatchedSet> open = sets;
      for (MatchedSet& set : open) set.members[s].clear();
      std::vector<MatchedSet> again = extend(samples, distance, open, s);
      measure(again);
      if (again.size() < sets.size() ||
          total(again) >= total(sets) * (1 - 1e-12)) {
        continue;
      }
      sets = std::move(again);
      better = true;
    }
  }
  return sets;
}

std::vector<MatchedSet> match_two(const std::vector<Sample>& samples,
                                  const FeedDistance& distance,
                                  int ratio) {
  const Assignment assignment =
      assign(distance.candidates(samples[0], samples[1]), ratio);
  std::vector<MatchedSet> sets;
  for (int i = 0; i < samples[0].size(); ++i) {
    if (assignment.partners[as_index(i)].empty()) continue;
    sets.push_back({{{i}, assignment.partners[as_index(i)]}, 0});
    sets.back().distance = within(samples, distance, sets.back());
  }
  return sets;
}

// Nearest in every other sample's feeds, whatever the calipers say.
LeftOut nearest_partner(const std::vector<Sample>& samples,
                        const FeedDistance& distance,
                        const std::vector<Eigen::MatrixXd>& whitened,
                        int s,
                        int feed) {
  LeftOut left{s, feed, -1, s, std::numeric_limits<double>::infinity(), {}};
  for (int t = 0; t < static_cast<int>(samples.size()); ++t) {
    if (t == s || samples[as_index(t)].size() == 0) continue;
    Eigen::Index j = 0;
    const double squared =
        (whitened[as_index(t)].rowwise() - whitened[as_index(s)].row(feed))
            .rowwise()
            .squaredNorm()
            .minCoeff(&j);
    if (left.nearest >= 0 && squared >= left.distance * left.distance) continue;
    left.nearest = static_cast<int>(j);
    left.of = t;
    left.distance = std::sqrt(squared);
  }
  if (left.nearest < 0) return left;
  const Sample& own = samples[as_index(s)];
  const Sample& other = samples[as_index(left.of)];
  left.distance = distance.between(own, feed, other, left.nearest);
  left.broken = distance.broken(own, feed, other, left.nearest);
  return left;
}

}  // namespace

Matching match(const std::vector<Sample>& samples,
               const FeedDistance& distance,
               int ratio) {
  require(samples.size() >= 2, "match: two samples or more");
  require(ratio >= 1 && (ratio == 1 || samples.size() == 2),
          "match: a ratio is for two samples");
  Matching result;
  result.exact = samples.size() == 2;
  result.sets = result.exact ? match_two(samples, distance, ratio)
                             : match_many(samples, distance);
  std::vector<std::vector<char>> placed;
  std::vector<Eigen::MatrixXd> whitened;
  for (const Sample& sample : samples) {
    placed.emplace_back(as_index(sample.size()), 0);
    whitened.push_back(distance.whitened(sample));
  }
  for (const MatchedSet& set : result.sets) {
    result.distance += set.distance;
    result.pairs += static_cast<int>(set.members[1].size());
    for (std::size_t s = 0; s < samples.size(); ++s) {
      for (const int i : set.members[s]) placed[s][as_index(i)] = 1;
    }
  }
  for (int s = 0; s < static_cast<int>(samples.size()); ++s) {
    for (int i = 0; i < samples[as_index(s)].size(); ++i) {
      if (placed[as_index(s)][as_index(i)]) continue;
      result.left_out.push_back(
          nearest_partner(samples, distance, whitened, s, i));
    }
  }
  return result;
}

}  // namespace evenfeed
