// SPDX-License-Identifier: MIT
#include "pipeline/frame_step.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <utility>

namespace evenfeed {
namespace {

constexpr double kShortest_s = 0.001;
constexpr double kLongest_s = 0.1;
constexpr double kFiner = 1.002;  // from one step tried to the next
// Of a frame's own sightings the gaps are shorter than this part of a step;
// over more steps than that they no longer tell it well.
constexpr double kWithin = 0.5;
constexpr double kMostSteps = 8;
constexpr std::size_t kEnoughGaps = 3000;

// Evenly over the film, so that pauses and feeds both count.
std::vector<double> gaps_of(const std::vector<Sighting>& sorted) {
  std::vector<double> gaps;
  const std::size_t every = 1 + sorted.size() / kEnoughGaps;
  for (std::size_t i = 1; i < sorted.size(); i += every) {
    const double gap_s = sorted[i].t_s - sorted[i - 1].t_s;
    if (gap_s > kWithin * kShortest_s && gap_s < kMostSteps * kLongest_s) {
      gaps.push_back(gap_s);
    }
  }
  std::sort(gaps.begin(), gaps.end());
  return gaps;
}

// Mean over the gaps up to kMostSteps; those within a frame tell nothing.
double agreement(const std::vector<double>& gaps, double step_s) {
  const auto first =
      std::lower_bound(gaps.begin(), gaps.end(), kWithin * step_s);
  const auto last = std::upper_bound(first, gaps.end(), kMostSteps * step_s);
  double sum = 0;
  for (auto gap = first; gap != last; ++gap) {
    sum += std::cos(2 * std::numbers::pi * *gap / step_s);
  }
  return sum /
         static_cast<double>(std::max<std::ptrdiff_t>(1, last - gaps.begin()));
}

}  // namespace

double frame_step_s(const std::vector<Sighting>& sorted) {
  constexpr double kNearlyAsGood = 0.8;
  const std::vector<double> gaps = gaps_of(sorted);
  if (gaps.empty()) return kShortest_s;
  std::vector<std::pair<double, double>> tried;  // step, agreement
  double best = 0;
  for (double step = kShortest_s; step <= kLongest_s; step *= kFiner) {
    if (gaps.back() < kWithin * step) break;
    tried.emplace_back(step, agreement(gaps, step));
    best = std::max(best, tried.back().second);
  }
  double found = kShortest_s;
  double here = -1;  // along the last hill that is high enough, its top
  for (const auto& [step, good] : tried) {
    if (good < kNearlyAsGood * best) {
      here = -1;
    } else if (good > here) {
      here = good;
      found = step;
    }
  }
  return found;
}

namespace {

// All numbered, and the numbers run with the time; by a frame they may step
// back, where the shutter's rows are thought to take longer than they do.
bool well_numbered(const std::vector<Sighting>& by_time) {
  int highest = 0;
  for (const Sighting& s : by_time) {
    if (s.frame < 0 || s.frame < highest - 1) return false;
    highest = std::max(highest, s.frame);
  }
  return true;
}

template <typename Same>
std::vector<std::vector<Sighting>> grouped(std::vector<Sighting> sorted,
                                           const Same& same) {
  std::vector<std::vector<Sighting>> groups;
  for (Sighting& s : sorted) {
    if (groups.empty() || !same(groups.back().front(), s)) {
      groups.emplace_back();
    }
    groups.back().push_back(std::move(s));
  }
  return groups;
}

}  // namespace

std::vector<std::vector<Sighting>> by_frames(std::vector<Sighting> sightings) {
  std::stable_sort(sightings.begin(),
                   sightings.end(),
                   [](const auto& a, const auto& b) { return a.t_s < b.t_s; });
  if (well_numbered(sightings)) {
    std::stable_sort(
        sightings.begin(), sightings.end(), [](const auto& a, const auto& b) {
          return a.frame < b.frame;
        });
    return grouped(std::move(sightings), [](const auto& a, const auto& b) {
      return a.frame == b.frame;
    });
  }
  const double within_s = kWithin * frame_step_s(sightings);
  return grouped(std::move(sightings),
                 [within_s](const auto& a, const auto& b) {
                   return b.t_s - a.t_s <= within_s;
                 });
}

}  // namespace evenfeed
