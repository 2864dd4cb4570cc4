// SPDX-License-Identifier: MIT
#include "pipeline/speed_change.h"

#include "base/counted.h"
#include "pipeline/film_time.h"
#include "pipeline/measurement.h"

#include <algorithm>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Less is what rolls and what strays.
constexpr std::size_t kFewestLeft = 50;
constexpr double kLeastLeftShare = 0.2;
// Of what is left must fly as feeds do. Balls that roll away are left over too.
constexpr double kLeastExplained = 0.5;

struct Stretch {
  double from_s, until_s;
};

std::vector<Stretch> measured_stretches(const SessionFit& fit) {
  std::vector<Stretch> stretches;
  for (std::size_t i = 0; i < fit.flown.size(); ++i) {
    const std::vector<Sighting>& seen = fit.flown[i].sightings;
    if (fit.feeds[i].status != FeedStatus::kMeasured || seen.empty()) continue;
    stretches.push_back({seen.front().t_s, seen.back().t_s});
  }
  return stretches;
}

std::size_t sightings_in(const std::vector<TimedFrame>& frames) {
  std::size_t count = 0;
  for (const TimedFrame& one : frames) count += one.sightings.size();
  return count;
}

std::vector<TimedFrame> left_between(const std::vector<TimedFrame>& frames,
                                     const std::vector<Stretch>& measured) {
  std::vector<TimedFrame> left;
  std::size_t count = 0;
  for (const TimedFrame& one : frames) {
    const bool known = std::any_of(
        measured.begin(), measured.end(), [&](const Stretch& stretch) {
          return one.t_s >= stretch.from_s && one.t_s <= stretch.until_s;
        });
    if (known || count > kTimeScaleSightings) continue;
    left.push_back(one);
    count += one.sightings.size();
  }
  return left;
}

}  // namespace

std::optional<SpeedChange> find_speed_change(
    const std::vector<TimedFrame>& frames,
    const SessionFit& fit,
    const Bench& bench,
    const Profile& profile,
    const MeasureOptions& options) {
  const std::vector<Stretch> measured = measured_stretches(fit);
  if (measured.empty()) return std::nullopt;
  const std::vector<TimedFrame> left = left_between(frames, measured);
  const std::size_t count = sightings_in(left);
  if (count < kFewestLeft ||
      static_cast<double>(count) <
          kLeastLeftShare * static_cast<double>(sightings_in(frames))) {
    return std::nullopt;
  }
  const auto scale = find_time_scale(left, bench, profile, options);
  if (!scale) return std::nullopt;
  const SessionFit part =
      fit_slower(left, scale->slower, bench, profile, options);
  SpeedChange change;
  change.scale = *scale;
  std::size_t explained = 0;
  for (std::size_t i = 0; i < part.flown.size(); ++i) {
    const std::vector<Sighting>& seen = part.flown[i].sightings;
    if (part.feeds[i].status != FeedStatus::kMeasured || seen.empty()) continue;
    if (change.feeds == 0) change.from_s = scale->slower * seen.front().t_s;
    change.until_s = scale->slower * seen.back().t_s;
    explained += seen.size();
    ++change.feeds;
  }
  const bool most = static_cast<double>(explained) >=
                    kLeastExplained * static_cast<double>(count);
  if (!most) return std::nullopt;
  return change;
}

std::string speed_change_words(const SpeedChange& change) {
  const bool slow = change.scale.slower > 1;
  return fmt::format(
      "the film changes its speed: from {} to {} it seems to play {:.1f} times "
      "{} than in the rest, where {} flew that {} left out; those beside the "
      "change may be wrong. Cut it where it changes, and measure each part "
      "with its own --slow ({:.3g} there)",
      film_time(change.from_s),
      film_time(change.until_s),
      slow ? change.scale.slower : 1 / change.scale.slower,
      slow ? "slower" : "faster",
      counted(change.feeds, "feed"),
      change.feeds == 1 ? "is" : "are",
      slow_to_say(change.scale));
}

}  // namespace evenfeed
