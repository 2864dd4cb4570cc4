// SPDX-License-Identifier: MIT
#include "flight/session_prior.h"

#include "stats/covariance_root.h"

#include <cstddef>

namespace evenfeed {

SessionPrior session_prior(const Bench& bench,
                           const FlightOptions& flight,
                           const Prior& readout_s) {
  constexpr double kAnyHeight_m = 1;
  // Feeds come from one point, which the first pictures of them leave behind by
  // up to what a ball flies between two, and the wheel lies behind the mouth:
  // invented.
  constexpr Prior kMouth{-0.15, 0.15};
  SessionPrior prior;
  const auto priors = priors_of(flight);
  for (int k = 0; k < kSharedPriors; ++k) {
    prior.mean[k] = priors[static_cast<std::size_t>(k)].mean;
    prior.root(k, k) = priors[static_cast<std::size_t>(k)].sd;
  }
  prior.root(kSessionLaunchHeight, kSessionLaunchHeight) =
      flight.launch_height ? kAnyHeight_m : 0;
  if (flight.launch_height) {
    prior.mean[kSessionLaunchPlace] = kMouth.mean;
    prior.root(kSessionLaunchPlace, kSessionLaunchPlace) = kMouth.sd;
  }
  if (!bench.camera.readout_s) {
    prior.mean[kSessionReadout] = readout_s.mean;
    prior.root(kSessionReadout, kSessionReadout) = readout_s.sd;
  }
  prior.root.bottomRightCorner<kCameraParameters, kCameraParameters>() =
      symmetric_root(bench.covariance);
  return prior;
}

}  // namespace evenfeed
