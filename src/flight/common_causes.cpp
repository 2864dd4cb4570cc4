// SPDX-License-Identifier: MIT
#include "flight/common_causes.h"

#include "base/nan.h"
#include "stats/covariance_root.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Characteristics, then the values of returns.
constexpr int kN = kCharacteristicCount + kReturnValueCount;
using Moves = Eigen::Matrix<double, kN, Eigen::Dynamic>;
using Column = Eigen::Matrix<double, kN, 1>;

struct PriorCause {
  int place;
  const char* name;
  CauseOf of;
};
constexpr PriorCause kPriors[] = {
    {kSessionDrag, "drag", CauseOf::kBalls},
    {kSessionLiftIn, "lift before the bounce", CauseOf::kLauncher},
    {kSessionLiftOut, "lift after the bounce", CauseOf::kLauncher},
    {kSessionSideLiftIn, "side lift before the bounce", CauseOf::kLauncher},
    {kSessionSideLiftOut, "side lift after the bounce", CauseOf::kLauncher},
    {kSessionRestitution, "restitution", CauseOf::kBalls},
    {kSessionKick, "kick", CauseOf::kLauncher},
    {kSessionTurn, "turn", CauseOf::kLauncher},
    {kSessionLaunchHeight, "launch height", CauseOf::kFilm},
    {kSessionLaunchPlace, "launch place", CauseOf::kFilm},
    {kSessionReadout, "readout", CauseOf::kCamera},
};

// Rows and columns that only returns have are not known of a feed.
Moves moves_of_feed(const FlightVector& flight,
                    const CommonRoot& root,
                    const FlightOptions& options,
                    const FeedEnds& ends) {
  const FlightVector sd = root.rowwise().norm();
  const FlightVector per_sd =
      (sd.array() > 0).select(sd.cwiseInverse(), 0).matrix();
  Moves moves = Moves::Constant(kN, root.cols() + 2 * kReturnStages, kNaN);
  moves.topRows<kCharacteristicCount>().setZero();
  moves.topLeftCorner(kCharacteristicCount, root.cols()) =
      characteristic_root(
          flight, FlightCovariance(sd.asDiagonal()), options, ends) *
      (per_sd.asDiagonal() * root);
  return moves;
}

Moves moves_of_return(const ReturnMoves& returned) {
  Moves moves = Moves::Constant(kN, returned.cols(), kNaN);
  moves.bottomRows<kReturnValueCount>() = returned;
  return moves;
}

// What the sample's place moves, of a feed.
Column placed_of_feed(const FlightVector& flight,
                      const FlightOptions& options,
                      const FeedEnds& ends) {
  const auto slopes = sample_place_slopes(flight, options, ends);
  Column placed = Column::Zero();
  placed.head<kCharacteristicCount>() =
      ends.sample_sd_m *
      Eigen::Map<const Eigen::Matrix<double, kCharacteristicCount, 1>>(
          slopes.data());
  return placed;
}

// The values of a column among the characteristics, or among those of returns.
template <std::size_t count>
void put(const Column& column, int first, std::array<double, count>& values) {
  for (std::size_t i = 0; i < count; ++i) {
    values[i] = column[first + static_cast<int>(i)];
  }
}

void put_moves(const Column& column, CommonCause& cause) {
  put(column, 0, cause.moves);
  put(column, kCharacteristicCount, cause.moves_returned);
}

// Sums over the feeds that know a characteristic.
class Mean {
 public:
  explicit Mean(Eigen::Index causes) : sum_(Moves::Zero(kN, causes)) {}

  void add(const Moves& moves, const Column& placed) {
    for (int i = 0; i < kN; ++i) {
      if (!moves.row(i).allFinite()) continue;
      ++count_[i];
      sum_.row(i) += moves.row(i);
      squares_[i] += moves.row(i).squaredNorm();
      if (!std::isfinite(placed[i])) continue;
      placed_[i] += placed[i];
      squares_[i] += placed[i] * placed[i];
    }
  }
  Moves moves() const { return known().asDiagonal() * sum_; }
  Column placed() const { return known().cwiseProduct(placed_); }
  // NaN where no feed knows it.
  Column sigma() const {
    return (squares_.array() / count_.array()).sqrt().matrix();
  }

 private:
  Column known() const {
    return (count_.array() > 0).select(count_.cwiseInverse(), 0).matrix();
  }

  Moves sum_;
  Column squares_ = Column::Zero();
  Column placed_ = Column::Zero();
  Column count_ = Column::Zero();
};

// What is the film's own: causes in any basis, the fewest that make the same
// covariance of the characteristics.
void add_own(const Moves& own, std::vector<CommonCause>& causes) {
  constexpr double kNothing = 1e-4;  // of the whole, in sd squared
  using Square = Eigen::Matrix<double, kN, kN>;
  const Column sd = own.rowwise().norm();
  const Column per_sd = (sd.array() > 0).select(sd.cwiseInverse(), 0).matrix();
  const Moves scaled = per_sd.asDiagonal() * own;
  const Square root = covariance_root(scaled * scaled.transpose());
  for (int k = kN - 1; k >= 0; --k) {
    if (root.col(k).squaredNorm() < kNothing * root.squaredNorm()) continue;
    CommonCause cause{.name = fmt::format("film {}", kN - k)};
    put_moves(sd.cwiseProduct(root.col(k)), cause);
    causes.push_back(std::move(cause));
  }
}

}  // namespace

CommonErrors common_errors_of(const JointAdjustment& joint,
                              const FlightOptions& options,
                              const FeedEnds& ends,
                              const std::vector<ReturnMoves>& returns) {
  const Eigen::Index count = joint.common.front().cols();
  Mean mean(count + 2 * kReturnStages);
  CommonErrors errors;
  for (std::size_t f = 0; f < joint.flights.size(); ++f) {
    const FlightVector& flight = joint.flights[f];
    mean.add(moves_of_feed(flight, joint.common[f], options, ends),
             placed_of_feed(flight, options, ends));
    errors.st_bounce_s += joint.common[f].row(kTimeOfBounce).squaredNorm();
  }
  for (const ReturnMoves& returned : returns) {
    mean.add(moves_of_return(returned), Column::Zero());
  }
  const auto feeds = static_cast<double>(joint.flights.size());
  errors.st_bounce_s = std::sqrt(errors.st_bounce_s / feeds);
  put(mean.sigma(), 0, errors.sigma);
  put(mean.sigma(), kCharacteristicCount, errors.sigma_returned);

  const Moves moves = mean.moves();
  const auto add = [&](CommonCause cause, const Column& column) {
    put_moves(column, cause);
    if (!column.isZero(0)) errors.causes.push_back(std::move(cause));
  };
  for (const auto& [place, name, of] : kPriors) {
    const double spread = place < kSharedPriors
                              ? joint.spread[static_cast<std::size_t>(place)]
                              : 0;
    add({name, of, {joint.before[place], joint.before_sd[place]}, spread},
        moves.col(place));
  }
  static constexpr std::array<const char*, kCameraParameters> kCamera{
      "focal length",
      "k1",
      "k2",
      "turn about x",
      "turn about y",
      "turn about z",
      "shift along x",
      "shift along y",
      "shift along z"};
  for (int k = 0; k < kCameraParameters; ++k) {
    add({kCamera[static_cast<std::size_t>(k)], CauseOf::kCamera},
        moves.col(kSessionCamera + k));
  }
  add({"sample's place", CauseOf::kSample, {ends.sample_x_m, ends.sample_sd_m}},
      mean.placed());
  constexpr double kSeenOtherwise = 0.3;
  Eigen::Index column = 2 * kSessionParameters;
  for (const int stage : joint.stages) {
    for (const char* axis : {"u", "v"}) {
      add({fmt::format("sightings, stage {}, {}", stage, axis),
           CauseOf::kCamera,
           {0, 1},
           kSeenOtherwise},
          moves.col(column++));
    }
  }
  errors.clock = joint.clock.off;
  if (errors.clock > 0) {
    add({std::string(kFilmsClock), CauseOf::kFilm, {0, errors.clock}},
        moves.col(column++));
  }
  // The noise of the sightings, and what comes after those of the stages.
  const Eigen::Index rest = moves.cols() - column;
  Moves own(kN, kSessionParameters + rest);
  own.leftCols<kSessionParameters>() =
      moves.middleCols<kSessionParameters>(kSessionParameters);
  own.rightCols(rest) = moves.rightCols(rest);
  add_own(own, errors.causes);
  return errors;
}

}  // namespace evenfeed
