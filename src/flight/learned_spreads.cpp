// SPDX-License-Identifier: MIT
#include "flight/learned_spreads.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

void LeastSpreads::check() const {
  require_positive(lift, "least_spreads.lift");
  require_positive(kick, "least_spreads.kick");
  require_positive(launch_m, "least_spreads.launch_m");
}

LearnedSpreads::LearnedSpreads(FlightOptions& flight,
                               const LeastSpreads& least) {
  auto priors = priors_of(flight);
  const auto begin = [&](std::size_t k, const Spread& spread) {
    priors[k].sd = spread.expected;
    spreads_[k] = spread;
  };
  const auto spin = [&](std::size_t k, double share, double least_sd) {
    constexpr double kImagined = 2;
    begin(k, {std::max(least_sd, share * priors[k].sd), least_sd, kImagined});
  };
  constexpr double kShare = 0.25;  // of what is possible over all launchers
  spin(kSessionLiftIn, kShare, least.lift);
  spin(kSessionLiftOut, kShare, least.lift);
  spin(kSessionSideLiftIn, kShare, least.lift);
  spin(kSessionSideLiftOut, kShare, least.lift);
  spin(kSessionKick, kShare, least.kick);
  spin(kSessionTurn, kShare, least.kick);
  spin(kSessionLaunchHeight, 1, least.launch_m);
  const auto balls = [&](std::size_t k, double sd) {
    constexpr double kLeastShare = 0.2;
    constexpr double kImagined = 10;  // the profile knows balls well
    begin(k, {sd, kLeastShare * sd, kImagined});
  };
  balls(kSessionDrag, flight.drag_between);
  balls(kSessionRestitution, flight.restitution_between);
  put_priors(priors, flight);
}

bool LearnedSpreads::learn(const SquaredResiduals& sums,
                           std::size_t feeds,
                           FlightOptions& flight) const {
  constexpr double kSettled = 0.02;
  bool settled = true;
  auto priors = priors_of(flight);
  for (std::size_t k = 0; k < spreads_.size(); ++k) {
    double& sd = priors[k].sd;
    const Spread& spread = spreads_[k];
    if (spread.imagined == 0 || !std::isfinite(sd)) continue;
    const double sum = spread.imagined * spread.expected * spread.expected +
                       sd * sd * sums[static_cast<Eigen::Index>(k)];
    const double count = spread.imagined + static_cast<double>(feeds);
    const double next = std::max(spread.least, std::sqrt(sum / count));
    settled = settled && std::abs(next / sd - 1) < kSettled;
    sd = next;
  }
  put_priors(priors, flight);
  return settled;
}

}  // namespace evenfeed
