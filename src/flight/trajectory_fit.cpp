// SPDX-License-Identifier: MIT
#include "flight/trajectory_fit.h"

#include "base/check.h"
#include "base/nan.h"
#include "flight/flight_residuals.h"
#include "flight/linear_flight.h"
#include "stats/cauchy_weight.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>

#include <Eigen/Cholesky>
#include <ceres/tiny_solver.h>
#include <ceres/tiny_solver_autodiff_function.h>
#include <fmt/format.h>

namespace evenfeed {
namespace {

using Function = ceres::TinySolverAutoDiffFunction<FlightResiduals,
                                                   Eigen::Dynamic,
                                                   kFlightParameters>;

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

class Refiner {
 public:
  Refiner(const std::vector<Sighting>& all,
          const CameraModel& camera,
          const FlightOptions& options)
      : all_(all), camera_(camera), options_(options) {}

  // Minimises over the sightings marked in `used`, reweighting `rounds` times.
  // `scale` widens the stated sigmas in the weights.
  FlightVector minimise(FlightVector p,
                        const std::vector<char>& used,
                        double scale,
                        int rounds,
                        int iterations) {
    chosen_.clear();
    for (std::size_t i = 0; i < all_.size(); ++i) {
      if (used[i]) chosen_.push_back(all_[i]);
    }
    weights_.assign(chosen_.size(), 1.0);
    for (int round = 0; round < rounds; ++round) {
      reweight(p, scale);
      const FlightResiduals residuals(chosen_, camera_, options_, weights_);
      Function function(residuals);
      ceres::TinySolver<Function> solver;
      solver.options.max_num_iterations = iterations;
      solver.options.parameter_tolerance = 1e-7;
      // Of half the chi-squared: a step that gains less changes nothing by
      // more than a few hundredths of a sigma.
      solver.options.function_tolerance = 1e-3;
      solver.Solve(function, &p);
      if (!plausible(p, options_)) break;
    }
    return p;
  }

  // (J^T W J)^-1 at p over the sightings of the last minimise(); NaN where the
  // flight passes behind the camera.
  FlightCovariance covariance(const FlightVector& p) const {
    const auto linear =
        linear_flight(FlightResiduals(chosen_, camera_, options_, weights_), p);
    if (!linear) return FlightCovariance::Constant(kNaN);
    // Columns are scaled first: they differ by orders of magnitude.
    const FlightVector scale = linear->by.colwise().norm().cwiseInverse();
    const auto scaled = linear->by * scale.asDiagonal();
    const FlightCovariance information = scaled.transpose() * scaled;
    return scale.asDiagonal() *
           information.ldlt().solve(FlightCovariance::Identity()) *
           scale.asDiagonal();
  }

 private:
  void reweight(const FlightVector& p, double scale) {
    const auto z = misfits(chosen_, camera_, options_, p);
    for (std::size_t i = 0; i < z.size(); ++i) {
      weights_[i] = cauchy_weight(z[i] / scale);
    }
  }

  const std::vector<Sighting>& all_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  std::vector<Sighting> chosen_;
  std::vector<double> weights_;
};

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

FlightFit failed(FitStatus status, std::string message) {
  FlightFit fit;
  fit.status = status;
  fit.message = std::move(message);
  return fit;
}

constexpr std::size_t kFewestSightings = 4;

}  // namespace

std::size_t FlightFit::first_inlier() const {
  return static_cast<std::size_t>(std::find(used.begin(), used.end(), 1) -
                                  used.begin());
}

std::size_t FlightFit::last_inlier() const {
  std::size_t last = used.empty() ? 0 : used.size() - 1;
  while (last > 0 && used[last] == 0) --last;
  return last;
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

// One way down from a start: the limit tightens as the fit settles, so that a
// rough start does not throw good sightings away.
class Descent {
 public:
  Descent(const std::vector<Sighting>& sightings,
          const CameraModel& camera,
          const FlightOptions& options,
          const FlightVector& start)
      : sightings_(sightings),
        camera_(camera),
        options_(options),
        refiner_(sightings, camera, options),
        p_(start) {}

  // Minimises over the sightings within `factor` times the outlier limit.
  bool settle(double factor, int rounds) {
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
      problem_ = failed(FitStatus::kPoorFit,
                        "no flight passes near enough of the sightings");
      return false;
    }
    const int iterations = factor > 1 ? 8 : 20;
    p_ = refiner_.minimise(p_, used_, scale, rounds, iterations);
    if (!plausible(p_, options_)) {
      problem_ = failed(FitStatus::kNoConvergence,
                        "the fit ran off to an impossible flight");
      return false;
    }
    return true;
  }

  double cost() const { return flight_cost(sightings_, camera_, options_, p_); }

  FlightFit result() const {
    FlightFit fit;
    fit.parameters = p_;
    fit.used = used_;
    fit.covariance = refiner_.covariance(p_);
    fill_counts(sightings_, camera_, options_, fit);
    if (passes_below(fit)) {
      return failed(FitStatus::kPoorFit,
                    "only a flight through the table explains the sightings");
    }
    fit.status = FitStatus::kOk;
    fit.message.clear();
    if (!fit.covariance.allFinite() ||
        fit.covariance.diagonal().minCoeff() <= 0) {
      return failed(FitStatus::kNoConvergence,
                    "the covariance cannot be computed");
    }
    if (turns_beside_table(fit)) {
      return failed(FitStatus::kPoorFit,
                    "the flight turns where there is no table");
    }
    return fit;
  }

  const FlightVector& parameters() const { return p_; }
  const FlightFit& problem() const { return problem_; }

 private:
  // Seen from above, a ball that jumps once more, off the table or the floor,
  // lies for a while near the flight that would have gone on through it. Where
  // all that is seen does so, there was no such jump.
  void end_at_next_touch() {
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
  bool passes_below(const FlightFit& fit) const {
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
  // table's height where no table is.
  bool turns_beside_table(const FlightFit& fit) const {
    constexpr double kSigmas = 3;
    if (!fit.bounce_seen()) return false;
    const double sd_m = std::sqrt(std::max(fit.covariance(kBounceX, kBounceX),
                                           fit.covariance(kBounceY, kBounceY)));
    const double margin_m = options_.ball.radius_m + kSigmas * sd_m;
    const Eigen::Vector2d place_m = p_.segment<2>(kBounceX);
    return !options_.table.covers(place_m, margin_m);
  }

  const std::vector<Sighting>& sightings_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  Refiner refiner_;
  FlightVector p_;
  std::vector<char> used_;
  bool goes_through_ = false;  // as far as it was seen, through the table
  FlightFit problem_;
};

FlightFit finish(Descent& descent) {
  if (!descent.settle(1.0, 3)) return descent.problem();
  return descent.result();
}

FlightFit too_few(std::size_t count) {
  return failed(
      FitStatus::kTooFewSightings,
      fmt::format("{} sightings where {} are needed", count, kFewestSightings));
}

}  // namespace

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

FlightFit refine_flight(const std::vector<Sighting>& sightings,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        const FlightVector& start) {
  if (sightings.size() < kFewestSightings) return too_few(sightings.size());
  Descent descent(sightings, camera, options, start);
  if (!descent.settle(3.0, 1)) return descent.problem();
  return finish(descent);
}

FlightFit fit_flight_from(
    const std::vector<FlightVector>& starts,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const std::function<double(const FlightVector&)>& beside) {
  if (sightings.size() < kFewestSightings) return too_few(sightings.size());
  const auto cost_of = [&](const Descent& descent) {
    return descent.cost() + (beside ? beside(descent.parameters()) : 0);
  };
  std::multimap<double, Descent> descents;  // by cost so far
  for (const FlightVector& start : starts) {
    Descent descent(sightings, camera, options, start);
    if (!descent.settle(12.0, 1) || !descent.settle(3.0, 1)) continue;
    const double cost = cost_of(descent);
    descents.emplace(cost, std::move(descent));
  }
  FlightFit best = failed(FitStatus::kPoorFit,
                          "no flight with one bounce explains the sightings");
  double best_cost = std::numeric_limits<double>::infinity();
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
    if (cost < best_cost) {
      best_cost = cost;
      best = std::move(fit);
    }
  }
  return best;
}

FlightFit fit_flight(const std::vector<Sighting>& sightings,
                     const CameraModel& camera,
                     const FlightOptions& options,
                     const ScanOptions& scan) {
  if (sightings.size() < kFewestSightings) return too_few(sightings.size());
  return fit_flight_from(scan_for_bounce(sightings, camera, options, scan),
                         sightings,
                         camera,
                         options);
}

FlightFit fit_flight_doubting_bounce(const std::vector<Sighting>& sightings,
                                     const CameraModel& camera,
                                     const FlightOptions& options,
                                     double end_s,
                                     double least_gain,
                                     std::vector<FlightVector> starts) {
  ScanOptions scan;
  scan.last_gaps = 5;
  const auto scanned = scan_for_bounce(sightings, camera, options, scan);
  starts.insert(starts.end(), scanned.begin(), scanned.end());
  const auto beside = [&](const FlightVector& p) {
    return p[kTimeOfBounce] < end_s ? least_gain : 0;
  };
  return fit_flight_from(starts, sightings, camera, options, beside);
}

}  // namespace evenfeed
