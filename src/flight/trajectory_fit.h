// SPDX-License-Identifier: MIT
// The flight fit: least squares on picture residuals over the 14 parameters of
// flight_model.h, with priors from the profile, a robust loss and a
// covariance.
//
//   min  sum_i w_i |pi(X(t_i)) - p_i|^2 / s_i^2  +  sum_k ((q_k - m_k) / d_k)^2
//
// pi is the calibrated camera, X(t) the mean position during the exposure (the
// frame that holds the bounce sees a V), w_i Cauchy weights by iterated
// reweighting, q_k the priors: drag, the four lifts, restitution, kick, turn.
// Covariance = (J^T W J)^-1 with the priors in J: the repeatability of this
// one feed, for the sigma_px the sightings carry. What calibration leaves
// uncertain is common to a session and is reported apart.
// Between minima the one with the larger posterior mass is taken: the cost less
// ln det of its covariance (Laplace's approximation), so that a bounce which is
// not needed does not win by having one more kink to fit noise with.
// Structure: bounce state and arcs both ways with reprojection error, as in
// Gossard, Ziegler and Zell 2025 (arXiv:2504.10035).
#pragma once

#include "flight/bounce_scan.h"
#include "flight/flight_model.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

enum class FitStatus {
  kNotRun,
  kTooFewSightings,
  kNoConvergence,
  kPoorFit,  ///< most sightings lie outside the fitted flight
  kOk,
};

struct FlightFit {
  FitStatus status = FitStatus::kNotRun;
  std::string message = "the fit was not run";
  FlightVector parameters = FlightVector::Zero();
  FlightCovariance covariance = FlightCovariance::Zero();
  std::vector<char> used;  ///< per sighting: 1 = inlier
  int before = 0;          ///< inliers before the bounce
  int after = 0;           ///< inliers after it
  /// Of the residuals over inliers and both axes, by what is stated of each: a
  /// sighting at the picture's edge, known to 20 px, tells nothing of the rest.
  double rms_px = 0;
  double chi2 = 0;  ///< of the inliers, without the priors
  double degrees_of_freedom = 0;
  /// Last moment at which the sightings still follow the second arc.
  double end_s = 0;

  bool ok() const { return status == FitStatus::kOk; }
  int inliers() const { return before + after; }
  /// Place of the first inlier among the sightings; their number if none is.
  std::size_t first_inlier() const;
  /// Of the last one; 0 if there is none.
  std::size_t last_inlier() const;
  /// Both sides of the bounce were seen.
  bool bounce_seen() const { return before >= 2 && after >= 2; }
};

/// Of the sightings it was fitted to, until the last on it: the part on it.
double used_share(const FlightFit& fit, const std::vector<Sighting>& sightings);

/// Chi-squared over degrees of freedom; with none left over one.
double reduced_chi2(const FlightFit& fit);

/// Chi-squared over degrees of freedom of all fits that are ok together: a
/// single one's residuals say little about sigma. Nothing with too few degrees
/// of freedom to tell.
std::optional<double> pooled_reduced_chi2(
    const std::vector<const FlightFit*>& fits);

/// Fits one feed to `sightings` (in order of time; outliers and what comes
/// after the second arc are found and left out).
FlightFit fit_flight(const std::vector<Sighting>& sightings,
                     const CameraModel& camera,
                     const FlightOptions& options,
                     const ScanOptions& scan = {});

/// A flight that the sightings allow. `cost`: -2 log of its share of the
/// posterior, but for a constant that all flights of these sightings have.
struct LikelyFlight {
  FlightFit fit;
  double cost = 0;
};

/// The flights, likeliest first, that lie below given starts: the best, and
/// those that come near it. `beside` is what else speaks against a flight
/// (squared sigmas); it chooses between minima and does not move them.
[[nodiscard]] std::vector<LikelyFlight> flights_from(
    const std::vector<FlightVector>& starts,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const std::function<double(const FlightVector&)>& beside = {});

/// The likeliest of them.
FlightFit fit_flight_from(
    const std::vector<FlightVector>& starts,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const std::function<double(const FlightVector&)>& beside = {});

/// What a bounce that hardly shows must gain to be believed, in squared sigmas:
/// odds of twenty.
inline constexpr double kLikelierBounce = 6;

/// Flights from the scan's starts, those that bounce last among them, and
/// these. A bounce before `end_s` is doubted: it has a time and a kick of its
/// own with which to fit what errs, so it must make the flight likelier by
/// `least_gain` squared sigmas than a later one.
[[nodiscard]] std::vector<LikelyFlight> flights_doubting_bounce(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    double end_s,
    double least_gain,
    std::vector<FlightVector> starts = {});

/// Fits from one start that is known to be near.
FlightFit refine_flight(const std::vector<Sighting>& sightings,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        const FlightVector& start);

/// How badly a flight explains the sightings and strains the priors: squared
/// sigmas, a miss counts no more than 10 sigmas. Compares flights of one feed.
double flight_cost(const std::vector<Sighting>& sightings,
                   const CameraModel& camera,
                   const FlightOptions& options,
                   const FlightVector& parameters);

/// Picture residuals (fitted minus seen) of sightings in order of time, px;
/// kBehindCamera sigmas where the flight passes behind the camera.
std::vector<Eigen::Vector2d> flight_residuals_px(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const FlightVector& parameters);

}  // namespace evenfeed
