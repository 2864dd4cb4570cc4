// SPDX-License-Identifier: MIT
#include "flight/film_clock.h"

#include <cmath>
#include <limits>

#include <Eigen/Cholesky>

namespace evenfeed {

FilmClock film_clock(const ClockEquations& equations,
                     const SessionVector& z,
                     double common_error_px,
                     double believed_sd) {
  constexpr int kZ = kSessionParameters;
  const auto allowed = with_common_errors<kWithClock>(
      equations.information, equations.answers, common_error_px);
  const ClockVector right = allowed.weight * equations.pull;
  // The session's unknowns solved for: what is left speaks of the clock alone.
  const SessionCovariance known =
      SessionCovariance::Identity() + allowed.data.topLeftCorner<kZ, kZ>();
  const SessionVector along =
      known.ldlt().solve(SessionVector(allowed.data.topRightCorner<kZ, 1>()));
  const double information =
      allowed.data(kZ, kZ) - allowed.data.topRightCorner<kZ, 1>().dot(along);
  FilmClock clock;
  clock.told.sd = std::numeric_limits<double>::infinity();
  clock.off = believed_sd;
  constexpr double kNothing = 1e-6;  // tells a factor of e^1000 from one
  if (!(information > kNothing)) return clock;
  const double pull = right[kZ] - along.dot(right.head<kZ>() - z);
  clock.told = {pull / information, 1 / std::sqrt(information)};
  if (believed_sd == 0) return clock;
  const double precision = information + 1 / (believed_sd * believed_sd);
  clock.off = std::hypot(pull / precision, 1 / std::sqrt(precision));
  return clock;
}

}  // namespace evenfeed
