// SPDX-License-Identifier: MIT
#include "flight/heard_session.h"

#include "flight/heard_bounce.h"
#include "stats/descriptive.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

ExpectedTick expected_of(const FlightFit& fit,
                         const Eigen::Vector3d& microphone_m) {
  const Eigen::Vector3d touches_m(
      fit.parameters[kBounceX], fit.parameters[kBounceY], 0);
  return {fit.parameters[kTimeOfBounce],
          std::sqrt(fit.covariance(kTimeOfBounce, kTimeOfBounce)),
          (touches_m - microphone_m).norm()};
}

// What the sound's clock leaves uncertain comes to all feeds alike: one more
// cause, of this film alone.
void add_clock(std::vector<CommonRoot>& common) {
  for (CommonRoot& root : common) {
    root.conservativeResize(Eigen::NoChange, root.cols() + 1);
    root.rightCols<1>().setZero();
  }
}

void put_clock(const FlightVector& by_clock,
               std::size_t feed,
               JointAdjustment& joint) {
  for (std::size_t k = 0; k < joint.feeds.size(); ++k) {
    if (joint.feeds[k] == feed) joint.common[k].rightCols<1>() = by_clock;
  }
}

BounceSigmas median_sigmas(const std::vector<FlightCovariance>& all) {
  if (all.empty()) return {};
  std::vector<double> t_s;
  std::vector<double> x_m;
  for (const FlightCovariance& one : all) {
    t_s.push_back(std::sqrt(one(kTimeOfBounce, kTimeOfBounce)));
    x_m.push_back(std::sqrt(one(kBounceX, kBounceX)));
  }
  return {median(t_s), median(x_m)};
}

}  // namespace

HeardSession hear_session(const Ear& ear,
                          const CameraModel& camera,
                          const FlightOptions& options,
                          std::vector<FoundFeed>& found,
                          JointAdjustment& joint) {
  HeardSession session;
  session.by_ear.assign(found.size(), 0);
  session.why.resize(found.size());
  std::vector<std::size_t> whole;
  std::vector<ExpectedTick> expected;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!found[i].whole()) continue;
    whole.push_back(i);
    expected.push_back(expected_of(found[i].fit, ear.microphone_m));
  }
  session.expected = static_cast<int>(expected.size());
  const Hearing hearing = hear(expected, ear.ticks, ear.hearing);
  session.agrees = hearing.agrees;
  session.why_not = hearing.why_not;
  if (!hearing.agrees) return session;
  session.clock = hearing.clock;
  session.wrong = hearing.wrong;
  add_clock(joint.common);
  std::vector<FlightCovariance> seen, both;
  for (std::size_t k = 0; k < whole.size(); ++k) {
    const HeardTick& tick = hearing.ticks[k];
    FoundFeed& feed = found[whole[k]];
    std::string& why = session.why[whole[k]];
    if (tick.contradicts_s != 0) {
      why =
          fmt::format("a bounce was heard {:.1f} ms {} it was seen: not taken",
                      1e3 * std::abs(tick.contradicts_s),
                      tick.contradicts_s > 0 ? "after" : "before");
    }
    if (!tick.heard) continue;
    HeardFlight heard = with_heard_bounce(
        feed.fit, feed.sightings, camera, options, tick.t_s, tick.sigma_s);
    if (!heard.used) {
      why = heard.why_not;
      continue;
    }
    seen.push_back(feed.fit.covariance);
    both.push_back(heard.fit.covariance);
    feed.fit = std::move(heard.fit);
    put_clock(heard.gain * hearing.clock.sigma_s(tick.t_s), whole[k], joint);
    session.by_ear[whole[k]] = 1;
    ++session.heard;
  }
  session.seen = median_sigmas(seen);
  session.both = median_sigmas(both);
  return session;
}

}  // namespace evenfeed
