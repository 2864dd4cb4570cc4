// SPDX-License-Identifier: MIT
// Whether a film plays as fast as it was taken. Slow motion stretches all
// times, a time lapse shortens them, and every speed is then wrong by that
// factor without a sign of it in the picture. Gravity is the clock: with times
// stretched N times a ball seems to fall N^2 times too slowly, which the fit
// can only explain by a lift, a drag and a bounce that no ball has.
//
// So the session's first flights are measured again with their times divided by
// a factor N, for N from 1/4 to 16, and what they then share is compared with
// what the profile believes: chi^2(N) = sum ((found - believed) / sd)^2 over
// drag, lifts and restitution. Its least value is the estimate, 1 / sqrt of
// half its curvature in log N the standard uncertainty, mostly that of the
// lift: with an unknown spin a tenth of N.
#pragma once

#include "geometry/sighting.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct Bench;
struct MeasureOptions;
struct Profile;
struct SessionFit;

/// The sightings of one frame.
struct TimedFrame {
  double t_s = 0;
  std::vector<Sighting> sightings;
};

struct TimeScale {
  double slower = 1;  ///< the film plays so many times slower than it was taken
  double log_sd = 0;  ///< of log(slower)
  double said = 1;    ///< what its times were divided by already (--slow)
};

/// As many sightings tell a time scale: two dozen feeds.
inline constexpr std::size_t kTimeScaleSightings = 3000;

/// What is measured of a film that plays `slower` times slower than it was
/// taken; times are those at which it was taken.
[[nodiscard]] SessionFit fit_slower(const std::vector<TimedFrame>& frames,
                                    double slower,
                                    const Bench& bench,
                                    const Profile& profile,
                                    const MeasureOptions& options);

/// What all feeds share lies too far from what can be, or most flights could
/// not be measured: reason enough to look for another time scale.
[[nodiscard]] bool doubts_time_scale(const SessionFit& fit);

/// The factor by which all is as believed; nullopt when that is 1, when no
/// factor explains the flights, or when too few flights are seen.
[[nodiscard]] std::optional<TimeScale> find_time_scale(
    const std::vector<TimedFrame>& frames,
    const Bench& bench,
    const Profile& profile,
    const MeasureOptions& options);

/// What --slow is to be told.
[[nodiscard]] double slow_to_say(const TimeScale& scale);

/// A sentence with what to say (--slow).
[[nodiscard]] std::string time_scale_words(const TimeScale& scale);

}  // namespace evenfeed
