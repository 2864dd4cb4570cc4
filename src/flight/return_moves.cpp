// SPDX-License-Identifier: MIT
#include "flight/return_moves.h"

#include "base/nan.h"
#include "flight/linear_flight.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

using Residuals = Eigen::VectorXd;

std::vector<Sighting> used_sightings(const ReturnFit& one) {
  std::vector<Sighting> used;
  for (std::size_t i = 0; i < one.sightings.size(); ++i) {
    if (one.fit.used[i] != 0) used.push_back(one.sightings[i]);
  }
  return used;
}

class MovedReturn {
 public:
  MovedReturn(const ReturnFit& one,
              const FlightVector& feed,
              const CameraModel& camera,
              const FlightOptions& options,
              double net_x_m)
      : one_(one),
        feed_(feed),
        camera_(camera),
        options_(options),
        net_x_m_(net_x_m),
        sightings_(used_sightings(one)),
        weights_(sightings_.size(), 1.0) {
    options_.passage = one.passage;
    priors_ = priors_of(options_);
    const FlightResiduals residuals(sightings_, camera_, options_, weights_);
    linear_ = linear_flight(residuals, one.fit.parameters);
    if (!linear_) return;
    answer_.compute(linear_->by.transpose() * linear_->by);
    base_ = residuals_at(SessionVector::Zero(), FlightVector::Zero());
    values_ = values_at(one.fit.parameters, feed_);
  }

  bool has_answer() const {
    return linear_ && base_ && answer_.info() == Eigen::Success;
  }

  ReturnColumn by_session(const SessionVector& session,
                          const FlightVector& feed) const {
    const auto moved = residuals_at(session, feed);
    if (!moved) return unknown();
    return moved_values(*moved - *base_, feed);
  }

  // By an error of the sightings of one stage, in one axis of the picture.
  ReturnColumn by_sightings(int stage, int axis, double error_px) const {
    Residuals off = Residuals::Zero(base_->size());
    for (std::size_t i = 0; i < sightings_.size(); ++i) {
      if (stage_of(sightings_[i]) != stage) continue;
      off[static_cast<Eigen::Index>(2 * i) + axis] =
          -error_px / sightings_[i].sigma_px;
    }
    return moved_values(off, FlightVector::Zero());
  }

 private:
  static ReturnColumn unknown() { return ReturnColumn::Constant(kNaN); }

  int stage_of(const Sighting& s) const {
    constexpr double kStage_s = 0.1;
    const double after_s = std::max(0., s.t_s - one_.t_contact_s);
    return std::min(kReturnStages - 1, static_cast<int>(after_s / kStage_s));
  }

  std::optional<Residuals> residuals_at(const SessionVector& session,
                                        const FlightVector& feed) const {
    FlightOptions options = options_;
    options.passage->x_m =
        flight_state(feed_ + feed, options_, Arc::kOut, options_.passage->t_s)
            .x_m;
    std::array<double, kSharedPriors> means{};
    for (std::size_t k = 0; k < means.size(); ++k) {
      means[k] = priors_[k].mean;
    }
    // What else the launcher's feeds share a return does not.
    means[kSessionDrag] += session[kSessionDrag];
    means[kSessionRestitution] += session[kSessionRestitution];
    const FlightResiduals residuals(sightings_, camera_, options, weights_);
    Residuals r(residuals.NumResiduals());
    if (!residuals.evaluate<double>(one_.fit.parameters,
                                    SessionCamera<double>(camera_, session),
                                    means,
                                    r.data())) {
      return std::nullopt;
    }
    return r;
  }

  ReturnColumn values_at(const FlightVector& p,
                         const FlightVector& feed) const {
    const auto values =
        values_of_return(p, options_, feed, one_.t_contact_s, net_x_m_);
    return Eigen::Map<const ReturnColumn>(values.data());
  }

  ReturnColumn moved_values(const Residuals& off,
                            const FlightVector& feed) const {
    const FlightVector p =
        one_.fit.parameters - answer_.solve(linear_->by.transpose() * off);
    return values_at(p, feed_ + feed) - values_;
  }

  const ReturnFit& one_;
  const FlightVector& feed_;
  const CameraModel& camera_;
  FlightOptions options_;
  double net_x_m_;
  std::vector<Sighting> sightings_;
  std::vector<double> weights_;
  std::array<Prior, kSharedPriors> priors_;
  std::optional<LinearFlight> linear_;
  Eigen::LDLT<FlightCovariance> answer_;
  std::optional<Residuals> base_;
  ReturnColumn values_;
};

ReturnMoves moves_of(const MovedReturn& moved,
                     const JointAdjustment& joint,
                     const CommonRoot& feed) {
  const Eigen::Index causes = feed.cols();
  ReturnMoves moves(kReturnValueCount, causes + 2 * kReturnStages);
  const Eigen::Index clock =
      joint.clock.off > 0 ? joint.session_root.cols() - 1 : causes;
  for (Eigen::Index k = 0; k < causes; ++k) {
    if (k == clock) {  // moves them by its own logarithm, which is told apart
      moves.col(k).setZero();
      continue;
    }
    // A cause beyond the session's own, a sound's clock, moves the feed alone.
    const SessionVector session = k < joint.session_root.cols()
                                      ? joint.session_root.col(k).eval()
                                      : SessionVector::Zero().eval();
    moves.col(k) = moved.by_session(session, feed.col(k));
  }
  Eigen::Index column = causes;
  for (int stage = 0; stage < kReturnStages; ++stage) {
    for (const int axis : {0, 1}) {
      moves.col(column++) =
          moved.by_sightings(stage, axis, joint.common_error_px);
    }
  }
  return moves;
}

}  // namespace

std::vector<ReturnMoves> moves_of_returns(const std::vector<FoundFeed>& found,
                                          const std::vector<ReturnFit>& returns,
                                          const JointAdjustment& joint,
                                          const CameraModel& camera,
                                          const FlightOptions& options,
                                          double net_x_m) {
  std::vector<ReturnMoves> all;
  for (std::size_t k = 0; k < joint.feeds.size(); ++k) {
    const std::size_t place = joint.feeds[k];
    const ReturnFit& one = returns[place];
    if (!one.fit.ok() || !one.passage || !found[place].fit.ok()) continue;
    const MovedReturn moved(
        one, found[place].fit.parameters, camera, options, net_x_m);
    if (!moved.has_answer()) continue;
    all.push_back(moves_of(moved, joint, joint.common[k]));
    if (landing_known(one, camera)) continue;
    for (const ReturnValue id : {ReturnValue::kX, ReturnValue::kY}) {
      all.back().row(static_cast<Eigen::Index>(id)).setConstant(kNaN);
    }
  }
  return all;
}

}  // namespace evenfeed
