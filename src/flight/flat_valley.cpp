// SPDX-License-Identifier: MIT
#include "flight/flat_valley.h"

#include "base/parallel.h"
#include "flight/flight_residuals.h"
#include "flight/solve_flight.h"
#include "stats/cauchy_weight.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace evenfeed {
namespace {

// The sightings of one feed that lie on its flight.
class Valley {
 public:
  Valley(const FoundFeed& feed,
         const CameraModel& camera,
         const FlightOptions& options)
      : camera_(camera),
        options_(options),
        lowest_(feed.fit.parameters),
        along_(feed.fit.covariance.col(kTimeOfBounce)),
        sigma_s_(std::sqrt(along_[kTimeOfBounce])) {
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      if (feed.fit.used[i]) sightings_.push_back(feed.sightings[i]);
    }
    along_ /= sigma_s_;  // what one sigma of the time moves all by
    least_ = descend(options_, lowest_);
  }

  // Mean square of how many sigmas off the bounce may be.
  double mean_square() const {
    // There a parabola has risen by nine, with Cauchy's loss by five or six:
    // where it is less, a valley is walked.
    constexpr double kThree = 3, kFlat = 3;
    FlightVector later = lowest_, earlier = lowest_;
    if (rise(kThree, later) > kFlat && rise(-kThree, earlier) > kFlat) {
      return 1;
    }
    Sums sums;
    walk(1, sums);
    walk(-1, sums);
    return sums.square / sums.all;
  }

 private:
  struct Sums {
    double all = 0;
    double square = 0;
  };

  // Trapezoids, wider further out.
  void walk(double direction, Sums& sums) const {
    constexpr double kHigh = 16;  // squared sigmas
    constexpr double kFar_s = 0.15;
    FlightVector p = lowest_;
    double last = 0;
    double height = 1;
    for (double k = 0.5; k * sigma_s_ < kFar_s; k += std::max(0.5, k / 4)) {
      const double above = rise(direction * k, p);
      const double next = std::exp(-above / 2);
      sums.all += (k - last) * (height + next) / 2;
      sums.square += (k - last) * (last * last * height + k * k * next) / 2;
      last = k;
      height = next;
      if (above > kHigh) break;
    }
  }

  // `p`: the flight of the step before, then of this one.
  double rise(double k, FlightVector& p) const {
    const double bounce_s = lowest_[kTimeOfBounce] + k * sigma_s_;
    FlightOptions held = options_;
    (k > 0 ? held.no_bounce_before_s : held.no_bounce_after_s) = bounce_s;
    p += along_ * ((bounce_s - p[kTimeOfBounce]) / sigma_s_);
    return descend(held, p) - least_;
  }

  // The cost at the bottom: Cauchy's loss, and the priors.
  double descend(const FlightOptions& held, FlightVector& p) const {
    constexpr int kRounds = 2, kIterations = 20;
    std::vector<double> weights(sightings_.size());
    for (int round = 0; round < kRounds; ++round) {
      reweight(p, weights);
      solve_flight(sightings_, camera_, held, weights, kIterations, p);
    }
    return cost(p);
  }

  Eigen::VectorXd residuals_of(const FlightVector& p) const {
    const std::vector<double> one(sightings_.size(), 1.0);
    const FlightResiduals residuals(sightings_, camera_, options_, one);
    Eigen::VectorXd r(residuals.NumResiduals());
    // What lies behind the camera costs more than any valley is deep.
    std::ignore = residuals(p.data(), r.data());
    return r;
  }

  void reweight(const FlightVector& p, std::vector<double>& weights) const {
    const Eigen::VectorXd r = residuals_of(p);
    for (std::size_t i = 0; i < weights.size(); ++i) {
      weights[i] =
          cauchy_weight(r.segment<2>(static_cast<Eigen::Index>(2 * i)).norm());
    }
  }

  double cost(const FlightVector& p) const {
    const Eigen::VectorXd r = residuals_of(p);
    double sum = r.tail<kFlightPriors>().squaredNorm();
    for (Eigen::Index i = 0; i + kFlightPriors < r.size(); i += 2) {
      sum += cauchy_loss(r.segment<2>(i).norm());
    }
    return sum;
  }

  const CameraModel& camera_;
  const FlightOptions& options_;
  std::vector<Sighting> sightings_;
  FlightVector lowest_, along_;
  double sigma_s_;
  double least_ = 0;
};

}  // namespace

void widen_in_flat_valleys(std::vector<FoundFeed>& found,
                           const CameraModel& camera,
                           const FlightOptions& options) {
  for_each_index(found.size(), [&](std::size_t i) {
    FlightFit& fit = found[i].fit;
    if (!found[i].whole()) return;
    const double wider = Valley(found[i], camera, options).mean_square() - 1;
    if (!(wider > 0)) return;
    const FlightVector column = fit.covariance.col(kTimeOfBounce);
    fit.covariance +=
        wider / column[kTimeOfBounce] * column * column.transpose();
  });
}

}  // namespace evenfeed
