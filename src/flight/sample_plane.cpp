// SPDX-License-Identifier: MIT
#include "flight/sample_plane.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

SampleSeen sample_from_returns(const std::vector<FoundFeed>& found,
                               const std::vector<ReturnFit>& returns,
                               const FlightOptions& options,
                               double lean_rad) {
  constexpr double kLeast_m = 0.001;
  constexpr double kOfFew_m = 0.010;
  constexpr std::size_t kFew = 3;
  constexpr double kMedianSd = 1.2533;  // sd of a normal median, root n of one
  std::vector<double> feet;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!returns[i].fit.ok()) continue;
    const Eigen::Vector3d x_m =
        flight_state(
            found[i].fit.parameters, options, Arc::kOut, returns[i].t_contact_s)
            .x_m;
    feet.push_back(x_m.x() - x_m.z() * std::tan(lean_rad) +
                   options.ball.radius_m / std::cos(lean_rad));
  }
  SampleSeen seen;
  if (feet.empty()) return seen;
  seen.returns = static_cast<int>(feet.size());
  seen.x_m = median(feet);
  const double scatter_m =
      feet.size() < kFew ? kOfFew_m
                         : kMedianSd * median_absolute_deviation(feet) /
                               std::sqrt(static_cast<double>(seen.returns));
  seen.sd_m = std::max(kLeast_m, scatter_m);
  return seen;
}

FeedEnds with_sample_seen(FeedEnds ends, const SampleSeen& seen) {
  if (!seen.known()) return ends;
  if (std::isnan(ends.sample_x_m)) {
    ends.sample_x_m = seen.x_m;
    ends.sample_sd_m = seen.sd_m;
  } else if (ends.sample_sd_m > 0) {
    const double told = 1 / (ends.sample_sd_m * ends.sample_sd_m);
    const double shown = 1 / (seen.sd_m * seen.sd_m);
    ends.sample_x_m =
        (told * ends.sample_x_m + shown * seen.x_m) / (told + shown);
    ends.sample_sd_m = 1 / std::sqrt(told + shown);
  }
  return ends;
}

bool sample_is_elsewhere(const FeedEnds& told, const SampleSeen& seen) {
  constexpr double kSigmas = 3;
  constexpr double kNear_m = 0.005;
  if (!seen.known() || std::isnan(told.sample_x_m)) return false;
  const double off_m = std::abs(seen.x_m - told.sample_x_m);
  return off_m > kNear_m &&
         off_m > kSigmas * std::hypot(seen.sd_m, told.sample_sd_m);
}

}  // namespace evenfeed
