// SPDX-License-Identifier: MIT
#include "flight/trajectory_fit.h"

#include "flight/flight_descent.h"
#include "flight/flight_residuals.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include <Eigen/Cholesky>
#include <fmt/format.h>

namespace evenfeed {

std::size_t FlightFit::first_inlier() const {
  return static_cast<std::size_t>(std::find(used.begin(), used.end(), 1) -
                                  used.begin());
}

std::size_t FlightFit::last_inlier() const {
  std::size_t last = used.empty() ? 0 : used.size() - 1;
  while (last > 0 && used[last] == 0) --last;
  return last;
}

double used_share(const FlightFit& fit,
                  const std::vector<Sighting>& sightings) {
  const auto until_end =
      std::count_if(sightings.begin(), sightings.end(), [&](const Sighting& s) {
        return s.t_s <= fit.end_s;
      });
  return fit.inliers() / static_cast<double>(std::max<long>(1, until_end));
}

double reduced_chi2(const FlightFit& fit) {
  return fit.chi2 / std::max(1., fit.degrees_of_freedom);
}

std::optional<double> pooled_reduced_chi2(
    const std::vector<const FlightFit*>& fits) {
  constexpr double kEnough = 20;
  double chi2 = 0;
  double freedom = 0;
  for (const FlightFit* fit : fits) {
    if (!fit->ok() || fit->degrees_of_freedom < 1) continue;
    chi2 += fit->chi2;
    freedom += fit->degrees_of_freedom;
  }
  if (freedom < kEnough) return std::nullopt;
  return chi2 / freedom;
}

std::vector<Eigen::Vector2d> flight_residuals_px(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const FlightVector& parameters) {
  const std::vector<double> weights(sightings.size(), 1.0);
  const FlightResiduals residuals(sightings, camera, options, weights);
  Eigen::VectorXd r(residuals.NumResiduals());
  // What lies behind the camera is as far off as can be: no fault here.
  std::ignore = residuals(parameters.data(), r.data());
  std::vector<Eigen::Vector2d> all;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    const auto row = static_cast<Eigen::Index>(2 * i);
    all.emplace_back(r.segment<2>(row) * sightings[i].sigma_px);
  }
  return all;
}

namespace {

double log_determinant(const FlightCovariance& covariance) {
  // Scaled first: the variances differ by orders of magnitude.
  const FlightVector sd = covariance.diagonal().cwiseSqrt();
  const FlightCovariance correlation = sd.cwiseInverse().asDiagonal() *
                                       covariance *
                                       sd.cwiseInverse().asDiagonal();
  return 2 * sd.array().log().sum() +
         correlation.ldlt().vectorD().array().abs().log().sum();
}

FlightFit finish(FlightDescent& descent) {
  if (!descent.settle(1.0, 3)) return descent.problem();
  return descent.result();
}

FlightFit too_few(std::size_t count) {
  return no_flight(
      FitStatus::kTooFewSightings,
      fmt::format("{} sightings where {} are needed", count, kFewestSightings));
}

FlightFit best_of(std::vector<LikelyFlight> flights, std::size_t sightings) {
  if (!flights.empty()) return std::move(flights.front().fit);
  if (sightings < kFewestSightings) return too_few(sightings);
  return no_flight(FitStatus::kPoorFit,
                   "no flight with one bounce explains the sightings");
}

}  // namespace

FlightFit refine_flight(const std::vector<Sighting>& sightings,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        const FlightVector& start) {
  if (sightings.size() < kFewestSightings) return too_few(sightings.size());
  FlightDescent descent(sightings, camera, options, start);
  if (!descent.settle(3.0, 1)) return descent.problem();
  return finish(descent);
}

std::vector<LikelyFlight> flights_from(
    const std::vector<FlightVector>& starts,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const std::function<double(const FlightVector&)>& beside) {
  std::vector<LikelyFlight> flights;
  if (sightings.size() < kFewestSightings) return flights;
  const auto cost_of = [&](const FlightDescent& descent) {
    return descent.cost() + (beside ? beside(descent.parameters()) : 0);
  };
  std::multimap<double, FlightDescent> descents;  // by cost so far
  for (const FlightVector& start : starts) {
    FlightDescent descent(sightings, camera, options, start);
    if (!descent.settle(12.0, 1) || !descent.settle(3.0, 1)) continue;
    const double cost = cost_of(descent);
    descents.emplace(cost, std::move(descent));
  }
  double last_bounce_s = -std::numeric_limits<double>::infinity();
  for (auto& [rough_cost, descent] : descents) {
    // Only starts that are still in the running, and each minimum once.
    if (rough_cost > 1.5 * descents.begin()->first + 50) break;
    const double bounce_s = descent.parameters()[kTimeOfBounce];
    if (std::abs(bounce_s - last_bounce_s) < 5e-4) continue;
    last_bounce_s = bounce_s;
    FlightFit fit = finish(descent);
    if (!fit.ok()) continue;
    const double cost = cost_of(descent) - log_determinant(fit.covariance);
    flights.push_back({std::move(fit), cost});
  }
  std::stable_sort(
      flights.begin(), flights.end(), [](const auto& a, const auto& b) {
        return a.cost < b.cost;
      });
  return flights;
}

FlightFit fit_flight_from(
    const std::vector<FlightVector>& starts,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const std::function<double(const FlightVector&)>& beside) {
  return best_of(flights_from(starts, sightings, camera, options, beside),
                 sightings.size());
}

FlightFit fit_flight(const std::vector<Sighting>& sightings,
                     const CameraModel& camera,
                     const FlightOptions& options,
                     const ScanOptions& scan) {
  return fit_flight_from(scan_for_bounce(sightings, camera, options, scan),
                         sightings,
                         camera,
                         options);
}

std::vector<LikelyFlight> flights_doubting_bounce(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    double end_s,
    double least_gain,
    std::vector<FlightVector> starts) {
  ScanOptions scan;
  scan.keep = 8;
  scan.last_gaps = 5;
  const auto scanned = scan_for_bounce(sightings, camera, options, scan);
  starts.insert(starts.end(), scanned.begin(), scanned.end());
  const auto beside = [&](const FlightVector& p) {
    return p[kTimeOfBounce] < end_s ? least_gain : 0;
  };
  return flights_from(starts, sightings, camera, options, beside);
}

}  // namespace evenfeed
