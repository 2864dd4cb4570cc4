// SPDX-License-Identifier: MIT
#include "flight/spliced_flight.h"

#include "base/check.h"
#include "base/parallel.h"
#include "flight/linear_flight.h"
#include "stats/cauchy_weight.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <Eigen/Cholesky>
#include <fmt/format.h>

namespace evenfeed {
namespace {

// Bounce and velocities: the first of a flight's parameters.
constexpr int kChanged = kLiftIn;
using Change = Eigen::Matrix<double, kChanged, 1>;

// How far the feed that goes on may be from the one that was cut off, sd: a
// frame or so out of step, and what launchers scatter.
Change change_sd() {
  Change sd;
  sd << 0.02, 0.05, 0.05, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3;
  return sd;
}

// The middle of three residuals from `from` on.
Eigen::Vector2d middle_of_three(const Eigen::VectorXd& residuals,
                                std::ptrdiff_t from) {
  Eigen::Vector2d middle;
  for (int axis = 0; axis < 2; ++axis) {
    std::array<double, 3> three{};
    for (std::ptrdiff_t i = 0; i < 3; ++i) {
      three[static_cast<std::size_t>(i)] = residuals[2 * (from + i) + axis];
    }
    std::sort(three.begin(), three.end());
    middle[axis] = three[1];
  }
  return middle;
}

// A sighting that agrees neither with those before it nor with those after it
// is an outlier; beside a join all agree with one side.
std::vector<double> weights_of(const Eigen::VectorXd& residuals,
                               std::ptrdiff_t count) {
  std::vector<double> weights;
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    const Eigen::Vector2d own = residuals.segment<2>(2 * i);
    double off = std::numeric_limits<double>::infinity();
    if (i >= 3) {
      off = std::min(off, (own - middle_of_three(residuals, i - 3)).norm());
    }
    if (i + 3 < count) {
      off = std::min(off, (own - middle_of_three(residuals, i + 1)).norm());
    }
    weights.push_back(std::isfinite(off) ? cauchy_weight(off) : 1);
  }
  return weights;
}

}  // namespace

std::optional<Splice> likeliest_splice(const FoundFeed& feed,
                                       const CameraModel& camera,
                                       const FlightOptions& options) {
  constexpr std::size_t kFewest = 8;
  constexpr std::ptrdiff_t kLeastPart = 2;
  if (!feed.fit.ok()) return std::nullopt;
  std::vector<Sighting> seen;
  for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
    if (feed.fit.used[i]) seen.push_back(feed.sightings[i]);
  }
  if (seen.size() < kFewest) return std::nullopt;
  const FlightVector unit = feed.fit.covariance.diagonal().cwiseSqrt();
  std::vector<double> weights(seen.size(), 1.0);
  const FlightResiduals residuals(seen, camera, options, weights);
  auto linear = linear_flight(residuals, feed.fit.parameters);
  if (!linear) return std::nullopt;
  // In units of each parameter's own uncertainty, in which all are alike.
  linear->by *= unit.asDiagonal();
  const auto count = static_cast<std::ptrdiff_t>(seen.size());
  weights = weights_of(linear->value, count);
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    const double root = std::sqrt(weights[static_cast<std::size_t>(i)]);
    linear->value.segment<2>(2 * i) *= root;
    linear->by.middleRows<2>(2 * i) *= root;
  }
  const FlightCovariance whole = linear->by.transpose() * linear->by;
  const Eigen::LDLT<FlightCovariance> solver(whole);
  const Eigen::VectorXd left =
      linear->value -
      linear->by *
          solver.solve((linear->by.transpose() * linear->value).eval());
  const Change believed =
      change_sd().cwiseQuotient(unit.head<kChanged>()).cwiseAbs2();
  FlightCovariance after = FlightCovariance::Zero();
  FlightVector pull = FlightVector::Zero();
  std::optional<Splice> best;
  for (std::ptrdiff_t i = count - 1; i >= kLeastPart; --i) {
    const auto rows = linear->by.middleRows<2>(2 * i);
    after += rows.transpose() * rows;
    pull += rows.transpose() * left.segment<2>(2 * i);
    if (count - i < kLeastPart) continue;
    const Eigen::Matrix<double, kFlightParameters, kChanged> to =
        after.leftCols<kChanged>();
    Eigen::Matrix<double, kChanged, kChanged> h =
        after.topLeftCorner<kChanged, kChanged>() -
        to.transpose() * solver.solve(to);
    h.diagonal() += believed.cwiseInverse();
    const Change g = pull.head<kChanged>();
    const double gain = g.dot(h.ldlt().solve(g));
    if (!std::isfinite(gain) || (best && gain <= best->gain)) continue;
    best = Splice{seen[static_cast<std::size_t>(i)].t_s, gain};
  }
  return best;
}

void SpliceLimits::check() const {
  require_in_range(most_of_usual, 1, 1e6, "most_of_usual");
  require_in_range(fewest_feeds, 2, 1000, "fewest_feeds");
}

void refuse_spliced(std::vector<FoundFeed>& found,
                    const CameraModel& camera,
                    const FlightOptions& options,
                    const SpliceLimits& limits) {
  limits.check();
  std::vector<std::optional<Splice>> splices(found.size());
  for_each_index(found.size(), [&](std::size_t i) {
    splices[i] = likeliest_splice(found[i], camera, options);
  });
  std::vector<double> gains;
  for (const auto& one : splices) {
    if (one) gains.push_back(one->gain);
  }
  if (static_cast<int>(gains.size()) < limits.fewest_feeds) return;
  const double usual = median(gains);
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!splices[i] || splices[i]->gain <= limits.most_of_usual * usual) {
      continue;
    }
    found[i].fit.status = FitStatus::kPoorFit;
    found[i].fit.message = fmt::format(
        "at {:.2f} s it goes on as another ball's: the film was cut there, or "
        "two balls were taken for one",
        splices[i]->t_s);
  }
}

void refuse_joined(std::vector<FoundFeed>& found,
                   const std::vector<double>& joins_s) {
  for (FoundFeed& feed : found) {
    if (!feed.fit.ok() || feed.fit.inliers() == 0) continue;
    const double first_s = feed.sightings[feed.fit.first_inlier()].t_s;
    const double last_s = feed.sightings[feed.fit.last_inlier()].t_s;
    for (const double join_s : joins_s) {
      if (join_s <= first_s || join_s > last_s) continue;
      feed.fit.status = FitStatus::kPoorFit;
      feed.fit.message =
          fmt::format("the film was cut at {:.2f} s, while it flew", join_s);
      break;
    }
  }
}

}  // namespace evenfeed
