// SPDX-License-Identifier: MIT
#include "flight/trajectory_fit.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Cholesky>
#include <ceres/tiny_solver.h>
#include <ceres/tiny_solver_autodiff_function.h>
#include <fmt/format.h>

#include "flight/flight_residuals.h"

namespace evenfeed {
namespace {

using Function = ceres::TinySolverAutoDiffFunction<FlightResiduals,
                                                   Eigen::Dynamic,
                                                   kFlightParameters>;

// Gaps longer than this many off-flight sightings end the second arc.
constexpr int kOffFlightToEnd = 3;

double misfit_sigma(const Sighting& s,
                    const CameraModel& camera,
                    const FlightOptions& options,
                    const FlightVector& p) {
  return flight_residual_px(s, camera, options, p).norm() / s.sigma_px;
}

// Which sightings belong to the two arcs: those near the flight, up to where
// several in a row after the bounce have left it.
std::vector<char> near_flight(const std::vector<Sighting>& sightings,
                              const CameraModel& camera,
                              const FlightOptions& options,
                              const FlightVector& p,
                              double limit_sigma) {
  std::vector<char> used(sightings.size(), 0);
  int off = 0;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    const bool near =
        misfit_sigma(sightings[i], camera, options, p) < limit_sigma;
    if (sightings[i].t_s > p[kTimeOfBounce]) off = near ? 0 : off + 1;
    if (off >= kOffFlightToEnd) break;
    used[i] = near;
  }
  return used;
}

// Keeps the iterates where the model means something.
bool plausible(const FlightVector& p) {
  return p.allFinite() && p[kVelocityIn + 2] < 0 && p[kVelocityOut + 2] > 0 &&
         p.segment<3>(kVelocityIn).norm() < 60 &&
         p.segment<3>(kVelocityOut).norm() < 60;
}

class Refiner {
 public:
  Refiner(const std::vector<Sighting>& all,
          const CameraModel& camera,
          const FlightOptions& options)
      : all_(all), camera_(camera), options_(options) {}

  // Minimises over the sightings marked in `used`, reweighting `rounds` times.
  FlightVector minimise(FlightVector p, const std::vector<char>& used,
                        int rounds) {
    chosen_.clear();
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (used[i]) chosen_.push_back(all_[i]);
    }
    weights_.assign(chosen_.size(), 1.0);
    for (int round = 0; round < rounds; ++round) {
      reweight(p);
      const FlightResiduals residuals(chosen_, camera_, options_, weights_);
      Function function(residuals);
      ceres::TinySolver<Function> solver;
      solver.options.max_num_iterations = 30;
      solver.options.parameter_tolerance = 1e-9;
      const auto& summary = solver.Solve(function, &p);
      cost_ = summary.final_cost;
      if (!plausible(p)) break;
    }
    return p;
  }

  // (J^T W J)^-1 at p over the sightings of the last minimise().
  FlightCovariance covariance(const FlightVector& p) const {
    const FlightResiduals residuals(chosen_, camera_, options_, weights_);
    Function function(residuals);
    const int rows = residuals.NumResiduals();
    Eigen::VectorXd r(rows);
    Eigen::Matrix<double, Eigen::Dynamic, kFlightParameters> jacobian(
        rows, static_cast<int>(kFlightParameters));
    function(p.data(), r.data(), jacobian.data());
    // Columns are scaled first: they differ by orders of magnitude.
    const FlightVector scale = jacobian.colwise().norm().cwiseInverse();
    const auto scaled = jacobian * scale.asDiagonal();
    const FlightCovariance information = scaled.transpose() * scaled;
    return scale.asDiagonal() *
           information.ldlt().solve(FlightCovariance::Identity()) *
           scale.asDiagonal();
  }

  double cost() const { return cost_; }

 private:
  void reweight(const FlightVector& p) {
    // Cauchy weights, 95 % efficient at 2.385 sigma (Holland and Welsch 1977).
    constexpr double kTuning = 2.385;
    for (std::size_t i = 0; i < chosen_.size(); ++i) {
      const double z =
          misfit_sigma(chosen_[i], camera_, options_, p) / kTuning;
      weights_[i] = 1 / (1 + z * z);
    }
  }

  const std::vector<Sighting>& all_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  std::vector<Sighting> chosen_;
  std::vector<double> weights_;
  double cost_ = std::numeric_limits<double>::infinity();
};

void fill_counts(const std::vector<Sighting>& sightings,
                 const CameraModel& camera,
                 const FlightOptions& options,
                 FlightFit& fit) {
  double sum_px2 = 0;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    if (!fit.used[i]) continue;
    const Sighting& s = sightings[i];
    const bool before = s.t_s < fit.parameters[kTimeOfBounce];
    ++(before ? fit.before : fit.after);
    fit.end_s = s.t_s;
    const double px2 =
        flight_residual_px(s, camera, options, fit.parameters).squaredNorm();
    sum_px2 += px2;
    fit.chi2 += px2 / (s.sigma_px * s.sigma_px);
  }
  const int used = fit.before + fit.after;
  // The arcs' lifts, drag and the unseen side are held by the priors.
  fit.degrees_of_freedom = 2.0 * used - (fit.bounce_seen() ? 9 : 6);
  fit.rms_px = used > 0 ? std::sqrt(sum_px2 / (2.0 * used)) : 0;
}

FlightFit failed(FitStatus status, std::string message) {
  FlightFit fit;
  fit.status = status;
  fit.message = std::move(message);
  return fit;
}

constexpr std::size_t kFewestSightings = 4;

}  // namespace

Eigen::Vector2d flight_residual_px(const Sighting& sighting,
                                   const CameraModel& camera,
                                   const FlightOptions& options,
                                   const FlightVector& parameters) {
  const std::vector<Sighting> one{sighting};
  const std::vector<double> weight{1.0};
  const FlightResiduals residuals(one, camera, options, weight);
  Eigen::Matrix<double, 2 + kFlightPriors, 1> r;
  if (!residuals(parameters.data(), r.data())) {
    return Eigen::Vector2d::Constant(1e6);
  }
  return r.head<2>() * sighting.sigma_px;
}

FlightFit refine_flight(const std::vector<Sighting>& sightings,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        const FlightVector& start) {
  if (sightings.size() < kFewestSightings) {
    return failed(FitStatus::kTooFewSightings,
                  fmt::format("{} sightings where {} are needed",
                              sightings.size(), kFewestSightings));
  }
  Refiner refiner(sightings, camera, options);
  FlightVector p = start;
  std::vector<char> used;
  // The limit tightens as the fit settles, so that a rough start does not
  // throw good sightings away.
  for (const double factor : {12.0, 4.0, 1.5, 1.0}) {
    used = near_flight(sightings, camera, options, p,
                       factor * options.outlier_sigma);
    if (std::count(used.begin(), used.end(), 1) <
        static_cast<int>(kFewestSightings)) {
      return failed(FitStatus::kPoorFit,
                    "no flight passes near enough of the sightings");
    }
    p = refiner.minimise(p, used, factor > 1 ? 2 : 4);
    if (!plausible(p)) {
      return failed(FitStatus::kNoConvergence,
                    "the fit ran off to an impossible flight");
    }
  }
  FlightFit fit;
  fit.parameters = p;
  fit.used = used;
  fit.covariance = refiner.covariance(p);
  fill_counts(sightings, camera, options, fit);
  fit.status = FitStatus::kOk;
  fit.message.clear();
  if (!fit.covariance.allFinite() ||
      fit.covariance.diagonal().minCoeff() <= 0) {
    fit.status = FitStatus::kNoConvergence;
    fit.message = "the covariance cannot be computed";
  }
  return fit;
}

FlightFit fit_flight(const std::vector<Sighting>& sightings,
                     const CameraModel& camera,
                     const FlightOptions& options,
                     const ScanOptions& scan) {
  FlightFit best = failed(FitStatus::kTooFewSightings,
                          fmt::format("{} sightings where {} are needed",
                                      sightings.size(), kFewestSightings));
  double best_score = std::numeric_limits<double>::infinity();
  for (const FlightStart& start :
       scan_for_bounce(sightings, camera, options, scan)) {
    FlightFit fit =
        refine_flight(sightings, camera, options, start.parameters);
    if (!fit.ok()) {
      if (!best.ok()) best = std::move(fit);
      continue;
    }
    // Few outliers first, then the closer fit: a sighting left out costs as
    // much as one at the limit.
    const double left_out =
        static_cast<double>(sightings.size()) - fit.before - fit.after;
    const double score = fit.chi2 + left_out * options.outlier_sigma *
                                        options.outlier_sigma;
    if (score < best_score) {
      best_score = score;
      best = std::move(fit);
    }
  }
  return best;
}

}  // namespace evenfeed
