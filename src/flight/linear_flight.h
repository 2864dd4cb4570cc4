// SPDX-License-Identifier: MIT
// A feed's residuals beside a flight, and how they answer to its parameters.
#pragma once

#include "flight/flight_residuals.h"

#include <optional>

namespace evenfeed {

struct LinearFlight {
  Eigen::VectorXd value;  ///< residuals, in sigmas
  Eigen::Matrix<double, Eigen::Dynamic, kFlightParameters> by;
};

/// Nothing where the flight passes behind the camera or has no derivatives.
[[nodiscard]] std::optional<LinearFlight> linear_flight(
    const FlightResiduals& residuals, const FlightVector& p);

}  // namespace evenfeed
