// SPDX-License-Identifier: MIT
#include "flight/empty_beats.h"

#include "flight/carries_on.h"
#include "flight/even_motion.h"
#include "flight/lost_launches.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace evenfeed {
namespace {

constexpr double kJitter = 0.1;  // of a beat

double off_the_beat(double step_s, double beat_s) {
  const double beats = step_s / beat_s;
  return std::abs(beats - std::max(1., std::round(beats)));
}

// 0: nothing keeps time.
double beat_of(const std::vector<double>& steps_s) {
  constexpr std::size_t kFewest = 5;
  constexpr double kKeepTime = 0.8;
  if (steps_s.size() < kFewest) return 0;
  const double beat_s = median(steps_s);
  const auto in_time =
      std::count_if(steps_s.begin(), steps_s.end(), [&](double step_s) {
        return off_the_beat(step_s, beat_s) < kJitter;
      });
  const auto least = kKeepTime * static_cast<double>(steps_s.size());
  return static_cast<double>(in_time) >= least ? beat_s : 0;
}

// A ball may be seen late, but not before it was launched.
bool begins_on(const Track& track, double due_s, double interval_s) {
  constexpr double kLate = 0.6;
  const double late = (track.start_s() - due_s) / interval_s;
  return late > -kJitter && late < kLate;
}

// As only a ball does that was thrown: strays roll, jump or hang about.
bool flies_on(const Track& track, const CameraModel& camera) {
  constexpr double kLeast_m = 0.5;
  constexpr double kLeast_mps = 1.5;
  const auto from =
      camera.meet_plane(track.sightings.front().centre_px, kTypicalHeight_m);
  const auto to =
      camera.meet_plane(track.sightings.back().centre_px, kTypicalHeight_m);
  if (!from || !to) return false;
  const double way_m = to->x() - from->x();
  return way_m > kLeast_m &&
         way_m > kLeast_mps * (track.end_s() - track.start_s());
}

// The likeliest launch: what flies on, or else what was not there before and is
// seen long enough; of either the longest.
const Track* launched_on(double due_s,
                         double interval_s,
                         const std::vector<FoundFeed>& found,
                         const std::vector<Track>& strays,
                         const CameraModel& camera) {
  constexpr std::size_t kFewestEvenly = 4;
  constexpr std::size_t kFewest = 6;
  const Track* longest[2] = {nullptr, nullptr};
  for (const Track& track : strays) {
    if (!begins_on(track, due_s, interval_s)) continue;
    const std::size_t count = track.sightings.size();
    const bool evenly = count >= kFewestEvenly && moves_evenly(track.sightings);
    const bool flies = evenly && flies_on(track, camera);
    if (!flies &&
        ((!evenly && count < kFewest) || carries_on(track, strays, camera) ||
         carries_on_return(track, found, camera))) {
      continue;
    }
    const Track*& other = longest[flies];
    if (other == nullptr || count > other->sightings.size()) other = &track;
  }
  return longest[1] != nullptr ? longest[1] : longest[0];
}

}  // namespace

LauncherBeat launcher_beat(std::vector<double> starts_s) {
  constexpr int kMostEmpty = 3;  // more is a pause
  std::sort(starts_s.begin(), starts_s.end());
  std::vector<double> steps_s;
  for (std::size_t i = 1; i < starts_s.size(); ++i) {
    steps_s.push_back(starts_s[i] - starts_s[i - 1]);
  }
  LauncherBeat beat{beat_of(steps_s), {}};
  if (beat.interval_s <= 0) return beat;
  for (std::size_t i = 0; i < steps_s.size(); ++i) {
    const int beats =
        static_cast<int>(std::lround(steps_s[i] / beat.interval_s));
    if (beats < 2 || beats > kMostEmpty + 1 ||
        off_the_beat(steps_s[i], beat.interval_s) > 2 * kJitter) {
      continue;
    }
    for (int k = 1; k < beats; ++k) {
      beat.empty_s.push_back(starts_s[i] + k * steps_s[i] / beats);
    }
  }
  return beat;
}

int add_on_empty_beats(std::vector<FoundFeed>& found,
                       const std::vector<Track>& strays,
                       const CameraModel& camera,
                       double net_x_m) {
  std::vector<double> starts_s;
  for (const FoundFeed& feed : found) {
    starts_s.push_back(feed.sightings.front().t_s);
  }
  const LauncherBeat beat = launcher_beat(std::move(starts_s));
  std::vector<FoundFeed> added;
  for (const double due_s : beat.empty_s) {
    const Track* track =
        launched_on(due_s, beat.interval_s, found, strays, camera);
    if (track == nullptr) continue;
    added.push_back(unmeasured_launch(*track, camera, net_x_m));
  }
  found.insert(found.end(), added.begin(), added.end());
  return static_cast<int>(added.size());
}

}  // namespace evenfeed
