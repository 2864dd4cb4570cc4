// SPDX-License-Identifier: MIT
#include "flight/joint_adjustment.h"

#include "base/check.h"
#include "base/parallel.h"
#include "flight/common_errors.h"
#include "flight/flight_residuals.h"
#include "flight/learned_spreads.h"
#include "flight/reduced_system.h"
#include "flight/residual_scatter.h"
#include "flight/session_prior.h"
#include "stats/cauchy_weight.h"
#include "stats/covariance_root.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>
#include <tuple>

#include <Eigen/Cholesky>
#include <ceres/jet.h>

namespace evenfeed {
namespace {

constexpr int kF = kFlightParameters;
constexpr int kS = kSessionParameters;
using Jet = ceres::Jet<double, kF + kS>;

// One feed's residuals at the current point, and how they answer to its own
// unknowns and to the session's.
struct Linearised {
  Eigen::VectorXd value;
  Eigen::Matrix<double, Eigen::Dynamic, kF> own;
  Eigen::Matrix<double, Eigen::Dynamic, kS> shared;
};

class JointSolver {
 public:
  JointSolver(const std::vector<FoundFeed>& found,
              const Bench& bench,
              const FlightOptions& flight,
              const JointOptions& options)
      : bench_(bench),
        flight_(flight),
        options_(options),
        prior_(session_prior(bench, flight, options.readout_s)) {
    for (std::size_t i = 0; i < found.size(); ++i) {
      if (!found[i].whole()) continue;
      const FlightFit& fit = found[i].fit;
      places_.push_back(i);
      flights_.push_back(fit.parameters);
      sightings_.emplace_back();
      for (std::size_t j = 0; j < found[i].sightings.size(); ++j) {
        if (fit.used[j]) sightings_.back().push_back(found[i].sightings[j]);
      }
      weights_.emplace_back(sightings_.back().size(), 1.0);
    }
    common_error_px_ = std::hypot(options.common_error_px,
                                  options.common_error_share * usual_sd_px());
    // Too few feeds keep the profile's spreads: then nothing is pooled.
    if (static_cast<int>(flights_.size()) >= options.fewest_feeds) {
      spreads_.emplace(flight_, options.least_spreads);
    }
  }

  JointAdjustment run() {
    JointAdjustment result;
    if (flights_.empty()) return result;
    double cost = reweighted_cost();
    for (int round = 0; round < options_.rounds; ++round) {
      build();
      const double gain = step(cost);
      const bool spreads_settled = update_spreads();
      if (gain < 1e-3 && spreads_settled) break;
      cost = reweighted_cost();
    }
    settle_with_common_errors();
    build();
    return finished();
  }

 private:
  double usual_sd_px() const {
    std::vector<double> sds;
    for (const auto& feed : sightings_) {
      for (const Sighting& s : feed) sds.push_back(s.sigma_px);
    }
    return sds.empty() ? 0 : median(std::move(sds));
  }

  SessionVector session() const { return prior_.mean + prior_.root * z_; }

  template <typename T>
  std::vector<T> evaluate(std::size_t i,
                          const FlightVectorT<T>& p,
                          const SessionVectorT<T>& s,
                          double s_per_film_s = 1) const {
    const FlightResiduals residuals{
        sightings_[i], bench_.camera, flight_, weights_[i], s_per_film_s};
    std::array<T, kSharedPriors> means;
    for (int k = 0; k < kSharedPriors; ++k)
      means[static_cast<std::size_t>(k)] = s[k];
    std::vector<T> r(static_cast<std::size_t>(residuals.NumResiduals()));
    // A sighting behind the camera costs kBehindCamera: a step towards it is
    // not taken.
    std::ignore = residuals.evaluate<T>(p,
                                        SessionCamera<T>(bench_.camera, s),
                                        means,
                                        r.data(),
                                        s[kSessionLaunchPlace]);
    return r;
  }

  double cost_at(const std::vector<FlightVector>& flights,
                 const SessionVector& z) const {
    const SessionVector s = prior_.mean + prior_.root * z;
    std::vector<double> costs(flights.size(), 0);
    for_each_index(flights.size(), [&](std::size_t i) {
      for (const double r : evaluate<double>(i, flights[i], s)) {
        costs[i] += r * r;
      }
    });
    return std::accumulate(costs.begin(), costs.end(), z.squaredNorm());
  }

  // Timed by the row where it was seen, a ball that moves down the picture
  // would be later by part of the row's own noise, the more the longer the
  // readout: residuals would shrink and a long readout look likely.
  static void time_by_fitted_row(Sighting& s, double residual_sigmas) {
    constexpr double kOutlier = 10;
    if (std::abs(residual_sigmas) > kOutlier) return;
    s.fitted_row_px = s.centre_px.y() + residual_sigmas * s.sigma_px;
  }

  // Cauchy weights as in the fit of one feed, then the cost under them.
  double reweighted_cost() {
    const SessionVector s = session();
    for_each_index(flights_.size(), [&](std::size_t i) {
      std::fill(weights_[i].begin(), weights_[i].end(), 1.0);
      const auto r = evaluate<double>(i, flights_[i], s);
      for (std::size_t j = 0; j < weights_[i].size(); ++j) {
        weights_[i][j] = cauchy_weight(std::hypot(r[2 * j], r[2 * j + 1]));
        time_by_fitted_row(sightings_[i][j], r[2 * j + 1]);
      }
    });
    return cost_at(flights_, z_);
  }

  void build() {
    equations_.resize(flights_.size());
    for_each_index(flights_.size(), [&](std::size_t i) { build_one(i); });
  }

  Linearised linearised(std::size_t i) const {
    FlightVectorT<Jet> p;
    for (int k = 0; k < kF; ++k) p[k] = Jet(flights_[i][k], k);
    SessionVectorT<Jet> s;
    const SessionVector now = session();
    for (int k = 0; k < kS; ++k) {
      s[k] = Jet(now[k]);
      s[k].v.tail<kS>() = prior_.root.row(k);
    }
    const std::vector<Jet> r = evaluate<Jet>(i, p, s);
    const auto rows = static_cast<Eigen::Index>(r.size());
    Linearised all;
    all.value.resize(rows);
    all.own.resize(rows, kF);
    all.shared.resize(rows, kS);
    for (Eigen::Index j = 0; j < rows; ++j) {
      const Jet& one = r[static_cast<std::size_t>(j)];
      all.value[j] = one.a;
      all.own.row(j) = one.v.head<kF>();
      all.shared.row(j) = one.v.tail<kS>();
    }
    return all;
  }

  int stage_of(std::size_t i, const Sighting& sighting) const {
    return flight_stage(sighting.t_s - flights_[i][kTimeOfBounce]);
  }

  // What an error of a sighting by one pixel moves its residuals by.
  double per_px(std::size_t i, std::size_t j) const {
    return std::sqrt(weights_[i][j]) / sightings_[i][j].sigma_px;
  }

  void build_one(std::size_t i) {
    const auto [value, jp, js] = linearised(i);
    FeedEquations& e = equations_[i];
    e.a = jp.transpose() * jp;
    e.b = jp.transpose() * js;
    e.c = js.transpose() * js;
    e.g = jp.transpose() * value;
    e.gs = js.transpose() * value;
    // Columns are scaled first: they differ by orders of magnitude.
    e.scale = e.a.diagonal().cwiseSqrt().cwiseInverse();
    e.solver.compute(e.scale.asDiagonal() * e.a * e.scale.asDiagonal());
    e.errors.clear();
    for (std::size_t j = 0; j < sightings_[i].size(); ++j) {
      ErrorResponse& response = e.errors[stage_of(i, sightings_[i][j])];
      const auto row = static_cast<Eigen::Index>(2 * j);
      response.own += per_px(i, j) * jp.middleRows<2>(row).transpose();
      response.shared += per_px(i, j) * js.middleRows<2>(row).transpose();
    }
    const Eigen::Index rows = value.size();
    const auto seen = jp.topRows(rows - kFlightPriors);
    e.own_freedom = (e.solve((seen.transpose() * seen).eval())).trace();
    e.prior_residual = value.tail<kFlightPriors>().head<kSharedPriors>();
    for (int k = 0; k < kSharedPriors; ++k) {
      const FlightVector row = jp.row(rows - kFlightPriors + k).transpose();
      e.prior_residual_var[k] = row.dot(e.solve(row));
    }
  }

  // The derivative of a feed's residuals by the logarithm of how many times
  // slower the film plays.
  Eigen::VectorXd answer_to_clock(std::size_t i) const {
    constexpr double kStep = 1e-4;
    const SessionVector now = session();
    const auto slower = evaluate<double>(i, flights_[i], now, 1 - kStep);
    const auto faster = evaluate<double>(i, flights_[i], now, 1 + kStep);
    Eigen::VectorXd answer(static_cast<Eigen::Index>(slower.size()));
    for (std::size_t j = 0; j < slower.size(); ++j) {
      answer[static_cast<Eigen::Index>(j)] =
          (slower[j] - faster[j]) / (2 * kStep);
    }
    return answer;
  }

  ClockColumn clock_column(std::size_t i) const {
    const Eigen::VectorXd clock = answer_to_clock(i);
    const auto [value, jp, js] = linearised(i);
    ClockColumn column{jp.transpose() * clock,
                       js.transpose() * clock,
                       clock.squaredNorm(),
                       -clock.dot(value),
                       {}};
    for (std::size_t j = 0; j < sightings_[i].size(); ++j) {
      const auto row = static_cast<Eigen::Index>(2 * j);
      column.errors
          .try_emplace(stage_of(i, sightings_[i][j]),
                       Eigen::RowVector2d::Zero())
          .first->second += per_px(i, j) * clock.segment<2>(row).transpose();
    }
    return column;
  }

  std::vector<ClockColumn> clock_columns() const {
    std::vector<ClockColumn> columns(flights_.size());
    for_each_index(flights_.size(),
                   [&](std::size_t i) { columns[i] = clock_column(i); });
    return columns;
  }

  SharedInformation shared_information(const ReducedSystem& reduced) const {
    return with_common_errors<kS>(
        reduced.information, reduced.errors, common_error_px_);
  }

  void move_flights(const SessionVector& dz, double length) {
    for (std::size_t i = 0; i < flights_.size(); ++i) {
      const FeedEquations& e = equations_[i];
      flights_[i] -= length * e.solve((e.g + e.b * dz).eval());
    }
  }

  // From the best fit to what is likeliest when the feeds have errors in
  // common, which no cost per feed expresses: near it, by plain steps.
  void settle_with_common_errors() {
    constexpr int kSteps = 6;
    constexpr double kSettled = 1e-3;  // of the priors' sd
    for (int i = 0; i < kSteps; ++i) {
      build();
      const ReducedSystem reduced = reduced_system(equations_);
      const SharedInformation shared = shared_information(reduced);
      const SessionVector dz = (SessionCovariance::Identity() + shared.data)
                                   .ldlt()
                                   .solve(shared.weight * reduced.pull - z_);
      move_flights(dz, 1);
      z_ += dz;
      update_spreads();
      reweighted_cost();
      if (dz.norm() < kSettled) break;
    }
  }

  // One Gauss-Newton step, shortened until it gains. Returns the gain.
  double step(double cost) {
    const ReducedSystem reduced = reduced_system(equations_);
    const SessionVector dz =
        (SessionCovariance::Identity() + reduced.information)
            .ldlt()
            .solve(reduced.pull - z_);
    const std::vector<FlightVector> before = flights_;
    for (double length = 1; length > 0.01; length /= 2) {
      move_flights(dz, length);
      const SessionVector z = z_ + length * dz;
      const double here = cost_at(flights_, z);
      if (here < cost) {
        z_ = z;
        return cost - here;
      }
      flights_ = before;
    }
    return 0;
  }

  // True when they hardly change any more.
  bool update_spreads() {
    if (!spreads_) return true;
    SquaredResiduals sums = SquaredResiduals::Zero();
    for (const FeedEquations& e : equations_) {
      sums += e.prior_residual.cwiseProduct(e.prior_residual) +
              e.prior_residual_var;
    }
    return spreads_->learn(sums, equations_.size(), flight_);
  }

  JointAdjustment finished() const {
    JointAdjustment result;
    result.before = prior_.mean;
    result.before_sd =
        (prior_.root * prior_.root.transpose()).diagonal().cwiseSqrt();
    result.after = session();
    const auto priors = priors_of(flight_);
    for (std::size_t k = 0; k < kSharedPriors; ++k) {
      result.spread[k] = priors[k].sd;
    }
    state_uncertainty(result);
    // A film that is not of this bench may leave nothing to solve for.
    result.done = result.after.allFinite() && result.covariance.allFinite();
    judge_residuals(result);
    result.feeds = places_;
    result.flights = flights_;
    return result;
  }

  // An error of z is C (prior's error) + C W (noise of the sightings + G c),
  // with C its covariance and W the weight of what the feeds say; c also moves
  // each feed's own unknowns.
  void state_uncertainty(JointAdjustment& result) const {
    const ReducedSystem reduced = reduced_system(equations_);
    const SharedInformation shared = shared_information(reduced);
    const SessionCovariance c =
        (SessionCovariance::Identity() + shared.data).inverse();
    result.covariance = prior_.root * c * prior_.root.transpose();
    const SessionCovariance sightings =
        shared.weight * reduced.information * shared.weight.transpose();
    const SessionCovariance noise = c * covariance_root(sightings);
    for (const auto& [stage, g] : reduced.errors)
      result.stages.push_back(stage);
    const std::vector<ClockColumn> columns = clock_columns();
    const ClockEquations clock = with_clock(reduced, equations_, columns);
    result.clock = film_clock(clock, z_, common_error_px_, options_.clock_sd);
    const SessionVector by_clock =
        -c * (shared.weight * clock.information.topRightCorner<kS, 1>());
    const auto stages = static_cast<Eigen::Index>(reduced.errors.size());
    result.common_error_px = common_error_px_;
    put_session_root(reduced, shared, c, noise, by_clock, result);
    for (std::size_t i = 0; i < equations_.size(); ++i) {
      const FeedEquations& e = equations_[i];
      CommonRoot root(kF, 2 * kS + 2 * stages + (result.clock.off > 0 ? 1 : 0));
      root.leftCols<kS>() = -e.solve((e.b * c).eval());
      root.middleCols<kS>(kS) = -e.solve((e.b * noise).eval());
      Eigen::Index column = 2 * kS;
      for (const auto& [stage, g] : reduced.errors) {
        Eigen::Matrix<double, kF, 2> moved =
            -e.b * (c * (shared.weight * g)).eval();
        const auto own = e.errors.find(stage);
        if (own != e.errors.end()) moved += own->second.own;
        root.middleCols<2>(column) = common_error_px_ * e.solve(moved);
        column += 2;
      }
      if (result.clock.off > 0) {
        root.col(column) = -result.clock.off *
                           e.solve((columns[i].own + e.b * by_clock).eval());
      }
      result.common.push_back(std::move(root));
    }
  }

  void put_session_root(const ReducedSystem& reduced,
                        const SharedInformation& shared,
                        const SessionCovariance& c,
                        const SessionCovariance& noise,
                        const SessionVector& by_clock,
                        JointAdjustment& result) const {
    auto& root = result.session_root;
    const auto stages = static_cast<Eigen::Index>(reduced.errors.size());
    root.resize(kS, 2 * kS + 2 * stages + (result.clock.off > 0 ? 1 : 0));
    root.leftCols<kS>() = c;
    root.middleCols<kS>(kS) = noise;
    Eigen::Index column = 2 * kS;
    for (const auto& [stage, g] : reduced.errors) {
      root.middleCols<2>(column) = common_error_px_ * (c * (shared.weight * g));
      column += 2;
    }
    if (result.clock.off > 0) root.col(column) = result.clock.off * by_clock;
    root = (prior_.root * root).eval();
  }

  // Without the weights that hold outliers back.
  void judge_residuals(JointAdjustment& result) const {
    std::vector<std::vector<double>> residuals;
    double freedom = 0;
    for (std::size_t i = 0; i < flights_.size(); ++i) {
      const std::size_t n = sightings_[i].size();
      freedom += 2.0 * static_cast<double>(n) - equations_[i].own_freedom;
      auto r = evaluate<double>(i, flights_[i], result.after);
      r.resize(2 * n);
      for (std::size_t j = 0; j < n; ++j) {
        const double by = 1 / std::sqrt(weights_[i][j]);
        r[2 * j] *= by;
        r[2 * j + 1] *= by;
      }
      residuals.push_back(std::move(r));
    }
    const ResidualScatter seen = residual_scatter(residuals, freedom);
    result.scatter = seen.scatter;
    result.sightings_per_error = seen.sightings_per_error;
  }

  const Bench& bench_;
  FlightOptions flight_;  // its priors' spreads change as they are learned
  const JointOptions& options_;
  SessionPrior prior_;
  double common_error_px_ = 0;
  std::vector<std::size_t> places_;
  std::vector<FlightVector> flights_;
  std::vector<std::vector<Sighting>> sightings_;
  std::vector<std::vector<double>> weights_;
  std::vector<FeedEquations> equations_;
  SessionVector z_ = SessionVector::Zero();
  std::optional<LearnedSpreads> spreads_;
};

}  // namespace

void JointOptions::check() const {
  require_in_range(fewest_feeds, 2, 1000, "fewest_feeds");
  least_spreads.check();
  require_not_negative(common_error_px, "common_error_px");
  require_not_negative(common_error_share, "common_error_share");
  require_in_range(clock_sd, 0, 1, "clock_sd");
  require_not_negative(readout_s.sd, "readout_s.sd");
  require_in_range(rounds, 1, 1000, "rounds");
}

JointAdjustment adjust_jointly(const std::vector<FoundFeed>& found,
                               const Bench& bench,
                               const FlightOptions& flight,
                               const JointOptions& options) {
  options.check();
  return JointSolver(found, bench, flight, options).run();
}

}  // namespace evenfeed
