// SPDX-License-Identifier: MIT
#include "flight/solve_flight.h"

#include "flight/flight_residuals.h"

#include <ceres/tiny_solver.h>
#include <ceres/tiny_solver_autodiff_function.h>

namespace evenfeed {

void solve_flight(const std::vector<Sighting>& sightings,
                  const CameraModel& camera,
                  const FlightOptions& options,
                  const std::vector<double>& weights,
                  int iterations,
                  FlightVector& p) {
  using Function = ceres::TinySolverAutoDiffFunction<FlightResiduals,
                                                     Eigen::Dynamic,
                                                     kFlightParameters>;
  const FlightResiduals residuals(sightings, camera, options, weights);
  Function function(residuals);
  ceres::TinySolver<Function> solver;
  solver.options.max_num_iterations = iterations;
  solver.options.parameter_tolerance = 1e-7;
  solver.options.function_tolerance = 1e-3;  // of half the chi-squared
  solver.Solve(function, &p);
}

}  // namespace evenfeed
