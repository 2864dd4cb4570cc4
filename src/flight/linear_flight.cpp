// SPDX-License-Identifier: MIT
#include "flight/linear_flight.h"

#include <ceres/tiny_solver_autodiff_function.h>

namespace evenfeed {

std::optional<LinearFlight> linear_flight(const FlightResiduals& residuals,
                                          const FlightVector& p) {
  const ceres::TinySolverAutoDiffFunction<FlightResiduals,
                                          Eigen::Dynamic,
                                          kFlightParameters>
      function(residuals);
  const int rows = residuals.NumResiduals();
  LinearFlight linear;
  linear.value.resize(rows);
  linear.by.resize(rows, static_cast<int>(kFlightParameters));
  if (!function(p.data(), linear.value.data(), linear.by.data())) {
    return std::nullopt;
  }
  if (!linear.value.allFinite() || !linear.by.allFinite()) return std::nullopt;
  return linear;
}

}  // namespace evenfeed
