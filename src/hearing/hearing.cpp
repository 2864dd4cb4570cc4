// SPDX-License-Identifier: MIT
#include "hearing/hearing.h"

#include "base/counted.h"
#include "hearing/clock_jump.h"
#include "hearing/offset_scan.h"
#include "hearing/tick_mixture.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Of one feed: a single doubtful one is not carried by many sure ones.
constexpr double kMostDoubt = 0.02;
// Sight and sound that differ by more contradict each other.
constexpr double kMostSigmas = 4;
constexpr double kSameOffset_s = 1e-3;
// Onsets are found up to 0.06 ms late, all of a film alike (tick_finder_test).
constexpr double kCommonOnset_s = 4e-5;
// Squared sigmas that a jump of the clock must explain. The most that noise
// explains in 1000 films is 18 (clock_jump_test).
constexpr double kCertainJump = 25;

Hearing refused(std::size_t expected, std::string why) {
  Hearing hearing;
  hearing.why_not = std::move(why);
  hearing.ticks.resize(expected);
  return hearing;
}

// Two feeds cannot have made one tick: the less likely goes without.
void settle_double_claims(std::vector<Claim>& claims) {
  std::map<int, std::size_t> owner;
  for (std::size_t i = 0; i < claims.size(); ++i) {
    if (claims[i].tick < 0) continue;
    const auto [place, first] = owner.try_emplace(claims[i].tick, i);
    if (first) continue;
    Claim& other = claims[place->second];
    if (claims[i].probability > other.probability) {
      other = {};
      place->second = i;
    } else {
      claims[i] = {};
    }
  }
}

void take_surest(const TickMixture& mixture,
                 const std::vector<ExpectedTick>& expected,
                 const std::vector<Tick>& ticks,
                 const HearingOptions& options,
                 Hearing& hearing) {
  std::vector<Claim> claims = mixture.claims;
  settle_double_claims(claims);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < claims.size(); ++i) {
    if (claims[i].tick < 0 || 1 - claims[i].probability > kMostDoubt ||
        std::abs(claims[i].off_s) > kMostSigmas * claims[i].sigma_s) {
      continue;
    }
    order.push_back(i);
  }
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return claims[a].probability > claims[b].probability;
  });
  double wrong = 0;
  for (const std::size_t i : order) {
    wrong += 1 - claims[i].probability;
    if (wrong > options.most_wrong * (hearing.heard + 1)) break;
    const Tick& tick = ticks[static_cast<std::size_t>(claims[i].tick)];
    const double travel_s = expected[i].distance_m / options.speed_of_sound_mps;
    hearing.ticks[i].heard = true;
    hearing.ticks[i].t_s = mixture.clock.picture_s(tick.t_s, travel_s);
    hearing.ticks[i].sigma_s = tick.sigma_s;
    ++hearing.heard;
    hearing.wrong = wrong / hearing.heard;
  }
}

ClockJump jump_of(const TickMixture& mixture,
                  const std::vector<ExpectedTick>& expected,
                  const Hearing& hearing) {
  std::vector<LeftOfClock> left;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    if (!hearing.ticks[i].heard) continue;
    const Claim& claim = mixture.claims[i];
    left.push_back({expected[i].t_s, claim.off_s, claim.sigma_s});
  }
  return likeliest_jump(std::move(left));
}

// A tick like those heard, the only one of its kind about where the feed's
// should be and is not.
void tell_contradictions(const TickMixture& mixture,
                         const std::vector<ExpectedTick>& expected,
                         const std::vector<Tick>& ticks,
                         const HearingOptions& options,
                         Hearing& hearing) {
  constexpr double kNear_s = 0.015;
  constexpr double kAlike = 3;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    if (hearing.ticks[i].heard) continue;
    const double at_s = mixture.clock.heard_s(
        expected[i].t_s, expected[i].distance_m / options.speed_of_sound_mps);
    int alike = 0;
    double off_s = 0;
    double sigma_s = 0;
    for (std::size_t j = 0; j < ticks.size(); ++j) {
      if (std::abs(ticks[j].t_s - at_s) > kNear_s) continue;
      if (mixture.likeness[j] < kAlike) continue;
      ++alike;
      off_s = ticks[j].t_s - at_s;
      sigma_s = std::hypot(ticks[j].sigma_s, expected[i].sigma_s);
    }
    if (alike == 1 && std::abs(off_s) > kMostSigmas * sigma_s) {
      hearing.ticks[i].contradicts_s = off_s;
    }
  }
}

Hearing heard_of(const TickMixture& mixture,
                 const std::vector<ExpectedTick>& expected,
                 const std::vector<Tick>& ticks,
                 const HearingOptions& options) {
  Hearing hearing;
  hearing.ticks.resize(expected.size());
  hearing.clock = mixture.clock;
  hearing.share_heard = mixture.share_heard;
  take_surest(mixture, expected, ticks, options, hearing);
  const double least = std::max<double>(
      options.fewest,
      options.least_share * static_cast<double>(expected.size()));
  if (hearing.heard < least) {
    return refused(
        expected.size(),
        fmt::format("of {} bounces only {} could be heard beyond doubt",
                    expected.size(),
                    hearing.heard));
  }
  const ClockJump jump = jump_of(mixture, expected, hearing);
  if (jump.gain > kCertainJump) {
    return refused(
        expected.size(),
        fmt::format("at {:.1f} s it jumps by {:.1f} ms against the picture: a "
                    "piece of it is missing, or was put in",
                    jump.t_s,
                    1e3 * jump.by_s));
  }
  tell_contradictions(mixture, expected, ticks, options, hearing);
  hearing.agrees = true;
  hearing.why_not.clear();
  return hearing;
}

}  // namespace

Hearing hear(const std::vector<ExpectedTick>& expected,
             const std::vector<Tick>& ticks,
             const HearingOptions& options) {
  options.check();
  const int n = static_cast<int>(expected.size());
  if (n < options.fewest) {
    return refused(expected.size(),
                   fmt::format("{} {} too few to find out how sound and "
                               "picture lie: {} are needed",
                               counted(n, "bounce"),
                               n == 1 ? "is" : "are",
                               options.fewest));
  }
  const OffsetScan scan = scan_offsets(expected, ticks, options);
  std::optional<TickMixture> best, next;
  for (const SoundClock& place : scan.places) {
    TickMixture mixture = match_ticks(expected, ticks, place, options);
    if (best && std::abs(best->clock.offset_s - mixture.clock.offset_s) <
                    kSameOffset_s) {
      continue;
    }
    const double heard =
        mixture.share_heard * static_cast<double>(expected.size());
    if (mixture.gain_of_twice > options.most_gain_of_twice * heard) continue;
    if (!best || mixture.gain > best->gain) {
      next = std::move(best);
      best = std::move(mixture);
    } else if (!next || mixture.gain > next->gain) {
      next = std::move(mixture);
    }
  }
  if (!best ||
      best->gain < std::log(std::max(1.0, scan.tried)) + options.least_gain) {
    return refused(expected.size(),
                   "too few of its ticks agree with the bounces that are seen");
  }
  if (next && best->gain < next->gain + options.least_gain) {
    return refused(
        expected.size(),
        fmt::format(
            "its ticks agree with the bounces in two ways, sound {:.0f} "
            "and {:.0f} ms late",
            1e3 * best->clock.offset_s,
            1e3 * next->clock.offset_s));
  }
  Hearing hearing = heard_of(*best, expected, ticks, options);
  hearing.clock.covariance(0, 0) += kCommonOnset_s * kCommonOnset_s;
  return hearing;
}

Hearing hear_by(const SoundClock& clock,
                const std::vector<ExpectedTick>& expected,
                const std::vector<Tick>& ticks,
                const HearingOptions& options) {
  options.check();
  return heard_of(match_ticks_by(clock, expected, ticks, options),
                  expected,
                  ticks,
                  options);
}

}  // namespace evenfeed
