// SPDX-License-Identifier: MIT
#include "bench/world_quantities.h"

#include "base/units.h"

#include <cmath>
#include <limits>
#include <optional>

namespace evenfeed {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

}  // namespace

WorldRow measured_row(const Feed& feed) {
  using enum Characteristic;
  return {feed[kX],
          feed[kY],
          Measured{feed.t_bounce_s, feed.st_bounce_s},
          feed[kSpeedIn],
          feed[kDescent],
          feed[kKick],
          feed[kContactTime],
          feed[kContactY],
          feed[kContactZ],
          feed.returned[static_cast<std::size_t>(ReturnValue::kSpeed)],
          feed.returned[static_cast<std::size_t>(ReturnValue::kAngle)]};
}

WorldValues true_row(const TrueFeed& feed) {
  const auto steepness_deg = [](const Eigen::Vector3d& v) {
    return deg_from_rad(std::atan2(v.z(), v.head<2>().norm()));
  };
  return {mm_from_m(feed.bounce_m.x()),
          mm_from_m(feed.bounce_m.y()),
          feed.t_bounce_s,
          feed.v_in_mps.norm(),
          -steepness_deg(feed.v_in_mps),
          feed.v_out_mps.head<2>().norm() / feed.v_in_mps.head<2>().norm(),
          feed.t_contact_s,
          mm_from_m(feed.contact_m.y()),
          mm_from_m(feed.contact_m.z()),
          feed.v_return_mps.norm(),
          steepness_deg(feed.v_return_mps)};
}

WorldValues common_sigmas(const SessionFit& fit) {
  using enum Characteristic;
  WorldValues sigmas;
  sigmas.fill(kNaN);
  int q = 0;
  for (const std::optional<Characteristic> id :
       {std::optional(kX),
        std::optional(kY),
        std::optional<Characteristic>(),
        std::optional(kSpeedIn),
        std::optional(kDescent),
        std::optional(kKick),
        std::optional(kContactTime),
        std::optional(kContactY),
        std::optional(kContactZ)}) {
    const double sigma = id ? fit.common.sigma[static_cast<std::size_t>(*id)]
                            : fit.common.st_bounce_s;
    sigmas[q] = sigma * kWorldQuantity[q].scale;
    ++q;
  }
  for (const ReturnValue id : {ReturnValue::kSpeed, ReturnValue::kAngle}) {
    sigmas[q] = fit.common.sigma_returned[static_cast<std::size_t>(id)] *
                kWorldQuantity[q].scale;
    ++q;
  }
  return sigmas;
}

}  // namespace evenfeed
