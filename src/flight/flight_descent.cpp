// SPDX-License-Identifier: MIT
#include "flight/flight_descent.h"

#include "base/check.h"
#include "base/nan.h"
#include "flight/flight_residuals.h"
#include "flight/linear_flight.h"
#include "flight/solve_flight.h"
#include "stats/cauchy_weight.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// Sigmas may be stated far too small, but not thirty times.
constexpr double kMostChi2 = 1000;

// Gaps longer than this many off-flight sightings end the second arc.
constexpr int kOffFlightToEnd = 3;

std::vector<double> misfits(const std::vector<Sighting>& sightings,
                            const CameraModel& camera,
                            const FlightOptions& options,
                            const FlightVector& p) {
  const auto residuals = flight_residuals_px(sightings, camera, options, p);
  std::vector<double> z;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    z.push_back(residuals[i].norm() / sightings[i].sigma_px);
  }
  return z;
}

// How many times the stated sigma the sightings really scatter, from the
// median (1.177 sigma for the length of a 2-D normal error); at least 1. A ball
// that falls past the end and rolls is seen longer afterwards than in flight:
// only what comes soon after the bounce is asked.
double scatter_scale(const std::vector<Sighting>& sightings,
                     std::vector<double> z,
                     double t_bounce_s) {
  constexpr double kFlown_s = 0.2;
  std::size_t soon = 0;
  while (soon < z.size() && sightings[soon].t_s <= t_bounce_s + kFlown_s)
    ++soon;
  if (soon > 0) z.resize(soon);
  const auto middle = z.begin() + static_cast<std::ptrdiff_t>(z.size() / 2);
  std::nth_element(z.begin(), middle, z.end());
  return std::max(1.0, *middle / 1.177);
}

// Which sightings belong to the two arcs: those near the flight, up to where
// several in a row after the bounce have left it.
std::vector<char> near_flight(const std::vector<Sighting>& sightings,
                              const std::vector<double>& z,
                              double t_bounce_s,
                              double limit_sigma,
                              double limit_px) {
  std::vector<char> used(sightings.size(), 0);
  int off = 0;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    const bool near =
        z[i] < std::max(limit_sigma, limit_px / sightings[i].sigma_px);
    if (sightings[i].t_s > t_bounce_s) off = near ? 0 : off + 1;
    if (off >= kOffFlightToEnd) break;
    used[i] = near;
  }
  return used;
}

// A rough flight may graze the table it has just left.
bool has_touched(const FlightVector& p,
                 const FlightOptions& options,
                 double t_s) {
  constexpr double kSlack_m = 0.05;
  const TableTop& table = options.table;
  const Eigen::Vector3d place = flight_state(p, options, t_s).x_m;
  return place.z() < table.floor_z_m + options.ball.radius_m ||
         (place.z() < -kSlack_m && table.covers(place.head<2>()));
}

// The first sighting after the bounce by which the flight would have met table
// or floor again; their number when it has not.
std::size_t next_touch(const std::vector<Sighting>& sightings,
                       const FlightOptions& options,
                       const FlightVector& p) {
  std::size_t i = 0;
  while (i < sightings.size() && (sightings[i].t_s <= p[kTimeOfBounce] ||
                                  !has_touched(p, options, sightings[i].t_s))) {
    ++i;
  }
  return i;
}

// How a lost sighting is weighed against a strained prior when starts are
// compared: a miss counts as its square up to ten sigmas.
double total_cost(const std::vector<double>& z, double prior_cost) {
  constexpr double kCap = 100;
  double sum = prior_cost;
  for (const double one : z) sum += std::min(kCap, one * one);
  return sum;
}

double prior_cost(const CameraModel& camera,
                  const FlightOptions& options,
                  const FlightVector& p) {
  const std::vector<Sighting> none;
  const std::vector<double> no_weights;
  const FlightResiduals residuals(none, camera, options, no_weights);
  Eigen::Matrix<double, kFlightPriors, 1> r;
  const bool in_front = residuals(p.data(), r.data());
  require(in_front, "nothing was seen, so nothing lies behind the camera");
  return r.squaredNorm();
}

// Keeps the iterates where the model means something.
bool plausible(const FlightVector& p, const FlightOptions& options) {
  return p.allFinite() && p[kVelocityIn + 2] < 0 && p[kVelocityOut + 2] > 0 &&
         p.segment<3>(kVelocityIn).norm() < options.fastest_mps &&
         p.segment<3>(kVelocityOut).norm() < options.fastest_mps;
}

void fill_counts(const std::vector<Sighting>& sightings,
                 const CameraModel& camera,
                 const FlightOptions& options,
                 FlightFit& fit) {
  const auto residuals =
      flight_residuals_px(sightings, camera, options, fit.parameters);
  double weights = 0;
  for (std::size_t i = 0; i < sightings.size(); ++i) {
    if (!fit.used[i]) continue;
    const Sighting& s = sightings[i];
    const bool before = s.t_s < fit.parameters[kTimeOfBounce];
    ++(before ? fit.before : fit.after);
    fit.end_s = s.t_s;
    const double weight = 1 / (s.sigma_px * s.sigma_px);
    weights += weight;
    fit.chi2 += weight * residuals[i].squaredNorm();
  }
  const int used = fit.inliers();
  // The arcs' lifts, drag and the unseen side are held by the priors.
  fit.degrees_of_freedom = 2.0 * used - (fit.bounce_seen() ? 9 : 6);
  fit.rms_px = used > 0 ? std::sqrt(fit.chi2 / (2 * weights)) : 0;
}

}  // namespace

FlightFit no_flight(FitStatus status, std::string message) {
  FlightFit fit;
  fit.status = status;
  fit.message = std::move(message);
  return fit;
}

double flight_cost(const std::vector<Sighting>& sightings,
                   const CameraModel& camera,
                   const FlightOptions& options,
                   const FlightVector& parameters) {
  // What was seen beyond its next touch a flight cannot explain.
  std::vector<double> z = misfits(sightings, camera, options, parameters);
  std::fill(z.begin() + static_cast<std::ptrdiff_t>(
                            next_touch(sightings, options, parameters)),
            z.end(),
            std::numeric_limits<double>::infinity());
  return total_cost(z, prior_cost(camera, options, parameters));
}

bool FlightDescent::settle(double factor, int rounds) {
  const auto z = misfits(sightings_, camera_, options_, p_);
  const double scale = scatter_scale(sightings_, z, p_[kTimeOfBounce]);
  used_ = near_flight(sightings_,
                      z,
                      p_[kTimeOfBounce],
                      std::max(factor, scale) * options_.outlier_sigma,
                      factor * options_.least_outlier_px);
  end_at_next_touch();
  if (std::count(used_.begin(), used_.end(), 1) <
      static_cast<int>(kFewestSightings)) {
    problem_ = no_flight(FitStatus::kPoorFit,
                         "no flight passes near enough of the sightings");
    return false;
  }
  const int iterations = factor > 1 ? 8 : 20;
  minimise(scale, rounds, iterations);
  if (!plausible(p_, options_)) {
    problem_ = no_flight(FitStatus::kNoConvergence,
                         "the fit ran off to an impossible flight");
    return false;
  }
  return true;
}

FlightFit FlightDescent::result() const {
  FlightFit fit;
  fit.parameters = p_;
  fit.used = used_;
  fit.covariance = covariance();
  fill_counts(sightings_, camera_, options_, fit);
  if (passes_below(fit)) {
    return no_flight(FitStatus::kPoorFit,
                     "only a flight through the table explains the sightings");
  }
  fit.status = FitStatus::kOk;
  fit.message.clear();
  if (!fit.covariance.allFinite() ||
      fit.covariance.diagonal().minCoeff() <= 0) {
    return no_flight(FitStatus::kNoConvergence,
                     "the covariance cannot be computed");
  }
  if (reduced_chi2(fit) > kMostChi2) {
    return no_flight(FitStatus::kPoorFit,
                     "the sightings lie nowhere near a flight");
  }
  if (turns_beside_table(fit)) {
    return no_flight(FitStatus::kPoorFit,
                     "the flight turns where there is no table");
  }
  return fit;
}

// Seen from above, a ball that jumps once more, off the table or the floor,
// lies for a while near the flight that would have gone on through it. Where
// all that is seen does so, there was no such jump.
void FlightDescent::end_at_next_touch() {
  constexpr double kWatched_s = 0.3;
  constexpr int kFew = 3;
  constexpr double kMost = 0.8;
  const std::size_t touch = next_touch(sightings_, options_, p_);
  int near = 0, all = 0;
  for (std::size_t i = touch; i < sightings_.size(); ++i) {
    if (sightings_[i].t_s < sightings_[touch].t_s + kWatched_s) {
      near += used_[i];
      ++all;
    }
    used_[i] = 0;
  }
  goes_through_ = near >= kFew && near > kMost * all;
}

// Without a seen bounce a bounce that changes nothing fits as well, anywhere;
// only that gravity then puts the flight far below the table gives it away.
// Beside and behind the table a ball may fall as deep as the floor, but a
// launcher does not feed from there.
bool FlightDescent::passes_below(const FlightFit& fit) const {
  constexpr double kLowest_m = -0.10;
  const TableTop& table = options_.table;
  const auto place_at = [&](double t_s) {
    return flight_state(p_, options_, t_s).x_m;
  };
  if (goes_through_ ||
      place_at(sightings_[fit.first_inlier()].t_s).z() < kLowest_m) {
    return true;
  }
  for (std::size_t i = 0; i < sightings_.size(); ++i) {
    if (!fit.used[i]) continue;
    const Eigen::Vector3d place = place_at(sightings_[i].t_s);
    if (place.z() >= kLowest_m) continue;
    if (table.covers(place.head<2>())) return true;
    if (place.z() < table.floor_z_m + kLowest_m) return true;
  }
  return false;
}

// Something turned the ball, the sample or a wall, but nothing bounces at the
// table's height where no table is; nor before it was seen, which would make
// nearly any flight from the launcher one that has bounced.
bool FlightDescent::turns_beside_table(const FlightFit& fit) const {
  constexpr double kSigmas = 3;
  constexpr double kUnseen_m = 0.15;
  const bool before_seen = fit.before == 0;
  if (!fit.bounce_seen() && !before_seen) return false;
  const double sd_m = std::sqrt(std::max(fit.covariance(kBounceX, kBounceX),
                                         fit.covariance(kBounceY, kBounceY)));
  const double margin_m =
      options_.ball.radius_m + (before_seen ? kUnseen_m : kSigmas * sd_m);
  return !options_.table.covers(p_.segment<2>(kBounceX), margin_m);
}

void FlightDescent::minimise(double scale, int rounds, int iterations) {
  chosen_.clear();
  for (std::size_t i = 0; i < sightings_.size(); ++i) {
    if (used_[i]) chosen_.push_back(sightings_[i]);
  }
  weights_.assign(chosen_.size(), 1.0);
  for (int round = 0; round < rounds; ++round) {
    reweight(scale);
    solve_flight(chosen_, camera_, options_, weights_, iterations, p_);
    if (!plausible(p_, options_)) break;
  }
}

void FlightDescent::reweight(double scale) {
  const auto z = misfits(chosen_, camera_, options_, p_);
  for (std::size_t i = 0; i < z.size(); ++i) {
    weights_[i] = cauchy_weight(z[i] / scale);
  }
}

// (J^T W J)^-1 over the sightings of the last minimise(); NaN where the flight
// passes behind the camera.
FlightCovariance FlightDescent::covariance() const {
  const auto linear =
      linear_flight(FlightResiduals(chosen_, camera_, options_, weights_), p_);
  if (!linear) return FlightCovariance::Constant(kNaN);
  // Columns are scaled first: they differ by orders of magnitude.
  const FlightVector scale = linear->by.colwise().norm().cwiseInverse();
  const auto scaled = linear->by * scale.asDiagonal();
  const FlightCovariance information = scaled.transpose() * scaled;
  return scale.asDiagonal() *
         information.ldlt().solve(FlightCovariance::Identity()) *
         scale.asDiagonal();
}

}  // namespace evenfeed
