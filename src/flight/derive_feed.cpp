// SPDX-License-Identifier: MIT
#include "flight/derive_feed.h"

#include "base/nan.h"
#include "base/units.h"
#include "flight/propagate.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr double kLongestArc_s = 2.0;

// Values in the order of characteristics(), then the launch time and the
// bounce time.
constexpr int kLaunchTime = kCharacteristicCount;
constexpr int kBounceTime = kCharacteristicCount + 1;
using Values = std::array<double, kCharacteristicCount + 2>;

double& at(Values& values, Characteristic id) {
  return values[static_cast<std::size_t>(id)];
}

// Seconds from the bounce until plane_distance(x) = 0, by Newton steps from
// the straight line; NaN when there is no crossing in the arc's direction.
template <typename Distance, typename Rate>
double crossing_s(const FlightVector& p,
                  const FlightOptions& options,
                  Arc arc,
                  const Distance& distance,
                  const Rate& rate) {
  const auto air = forces_of_arc(p, arc, options.air_per_m());
  const auto start = state_at_bounce(p, arc, options.ball.radius_m);
  double dt = -distance(start.x_m) / rate(start.v_mps);
  for (int i = 0; i < 30; ++i) {
    const bool wrong_way = arc == Arc::kIn ? dt > 0 : dt < 0;
    if (!std::isfinite(dt) || wrong_way || std::abs(dt) > kLongestArc_s) {
      return kNaN;
    }
    const BallState<double> state = fly<double>(start, dt, air);
    const double step = distance(state.x_m) / rate(state.v_mps);
    dt -= step;
    if (std::abs(step) < 1e-10) return dt;
  }
  return kNaN;
}

double arc_length_m(const FlightVector& p,
                    const FlightOptions& options,
                    Arc arc,
                    double dt_s) {
  constexpr int kPieces = 32;  // even: Simpson's rule on the speed
  const auto air = forces_of_arc(p, arc, options.air_per_m());
  auto state = state_at_bounce(p, arc, options.ball.radius_m);
  const double step = dt_s / kPieces;
  double sum = state.v_mps.norm();
  for (int i = 1; i <= kPieces; ++i) {
    state = fly<double>(state, step, air);
    const double weight = i == kPieces ? 1 : (i % 2 == 1 ? 4 : 2);
    sum += weight * state.v_mps.norm();
  }
  return std::abs(step) / 3 * sum;
}

// Whether a ball on its second arc has to bounce once more on its way to
// `place`: on the table, or beyond its end on the floor.
bool bounces_before(const FlightVector& p,
                    const FlightOptions& options,
                    const Eigen::Vector3d& place) {
  const double r_m = options.ball.radius_m;
  const TableTop& table = options.table;
  if (place.x() <= table.half_length_m) return place.z() < r_m;
  const double end_s = time_at_x_s(p, options, Arc::kOut, table.half_length_m);
  if (std::isfinite(end_s) &&
      flight_state(p, options, Arc::kOut, end_s).x_m.z() < r_m) {
    return true;
  }
  return place.z() < table.floor_z_m + r_m;
}

void put_contact(const FlightVector& p,
                 const FlightOptions& options,
                 const FeedEnds& ends,
                 double launch_dt,
                 Values& values) {
  const std::optional<Contact> contact = contact_of(p, options, ends);
  if (!contact) return;
  at(values, Characteristic::kContactTime) = contact->t_s;
  at(values, Characteristic::kContactY) = mm_from_m(contact->centre_m.y());
  at(values, Characteristic::kContactZ) = mm_from_m(contact->centre_m.z());
  if (!std::isfinite(launch_dt)) return;
  at(values, Characteristic::kPathLength) = mm_from_m(
      arc_length_m(p, options, Arc::kIn, launch_dt) +
      arc_length_m(p, options, Arc::kOut, contact->t_s - p[kTimeOfBounce]));
}

Values values_of(const FlightVector& p,
                 const FlightOptions& options,
                 const FeedEnds& ends) {
  using enum Characteristic;
  Values values;
  values.fill(kNaN);
  at(values, kX) = mm_from_m(p[kBounceX]);
  at(values, kY) = mm_from_m(p[kBounceY]);
  const Eigen::Vector3d in = p.segment<3>(kVelocityIn);
  const Eigen::Vector3d out = p.segment<3>(kVelocityOut);
  at(values, kVxIn) = in.x();
  at(values, kVyIn) = in.y();
  at(values, kVzIn) = in.z();
  at(values, kVxOut) = out.x();
  at(values, kVyOut) = out.y();
  at(values, kVzOut) = out.z();
  const double flat_in = in.head<2>().norm();
  at(values, kSpeedIn) = in.norm();
  at(values, kHeading) = deg_from_rad(std::atan2(in.y(), in.x()));
  at(values, kDescent) = deg_from_rad(std::atan2(-in.z(), flat_in));
  at(values, kKick) = out.head<2>().norm() / flat_in;
  at(values, kTurn) = deg_from_rad(std::atan2(
      in.x() * out.y() - in.y() * out.x(), in.head<2>().dot(out.head<2>())));
  values[kBounceTime] = p[kTimeOfBounce];
  const double launch_dt =
      std::isfinite(ends.launch_x_m)
          ? time_at_x_s(p, options, Arc::kIn, ends.launch_x_m) -
                p[kTimeOfBounce]
          : kNaN;
  values[kLaunchTime] = p[kTimeOfBounce] + launch_dt;
  at(values, kFlightTime) = -launch_dt;
  put_contact(p, options, ends, launch_dt, values);
  return values;
}

// Standard uncertainties of all values at once.
Values sigmas_of(const FlightVector& p,
                 const FlightCovariance& root,
                 const FlightOptions& options,
                 const FeedEnds& ends) {
  Values sigmas = propagated_sigmas(p, root, [&](const FlightVector& near) {
    return values_of(near, options, ends);
  });
  if (ends.sample_lean_sd_rad == 0) return sigmas;
  const auto contact = contact_of(p, options, ends);
  if (!contact) return sigmas;
  const double doubt_m = lean_doubt_m(ends, contact->centre_m.z());
  const auto slopes = sample_place_slopes(p, options, ends);
  for (std::size_t i = 0; i < slopes.size(); ++i) {
    if (std::isfinite(slopes[i])) {
      sigmas[i] = std::hypot(sigmas[i], slopes[i] * doubt_m);
    }
  }
  return sigmas;
}

}  // namespace

std::optional<Contact> contact_of(const FlightVector& p,
                                  const FlightOptions& options,
                                  const FeedEnds& ends) {
  if (!std::isfinite(ends.sample_x_m)) return std::nullopt;
  // The ball touches when its centre is one radius in front of the plane.
  const Eigen::Vector3d normal(
      std::cos(ends.sample_lean_rad), 0, -std::sin(ends.sample_lean_rad));
  const double offset = normal.x() * ends.sample_x_m +
                        normal.z() * ends.sample_z_m - options.ball.radius_m;
  const double dt = crossing_s(
      p,
      options,
      Arc::kOut,
      [&](const Eigen::Vector3d& x) { return normal.dot(x) - offset; },
      [&](const Eigen::Vector3d& v) { return normal.dot(v); });
  if (!std::isfinite(dt)) return std::nullopt;
  const double t_s = p[kTimeOfBounce] + dt;
  const auto state = flight_state(p, options, Arc::kOut, t_s);
  if (bounces_before(p, options, state.x_m)) return std::nullopt;
  return Contact{t_s, state.x_m, normal.dot(state.v_mps)};
}

double lean_doubt_m(const FeedEnds& ends, double z_m) {
  const double cosine = std::cos(ends.sample_lean_rad);
  return std::abs(z_m - ends.sample_z_m) * ends.sample_lean_sd_rad /
         (cosine * cosine);
}

double time_at_x_s(const FlightVector& p,
                   const FlightOptions& options,
                   Arc arc,
                   double x_m) {
  return p[kTimeOfBounce] +
         crossing_s(
             p,
             options,
             arc,
             [&](const Eigen::Vector3d& x) { return x.x() - x_m; },
             [](const Eigen::Vector3d& v) { return v.x(); });
}

Eigen::Matrix<double, kCharacteristicCount, kFlightParameters>
characteristic_root(const FlightVector& p,
                    const FlightCovariance& root,
                    const FlightOptions& options,
                    const FeedEnds& ends) {
  return propagated_root(p,
                         root,
                         [&](const FlightVector& near) {
                           return values_of(near, options, ends);
                         })
      .topRows<kCharacteristicCount>();
}

std::array<double, kCharacteristicCount> sample_place_slopes(
    const FlightVector& p, const FlightOptions& options, const FeedEnds& ends) {
  constexpr double kStep_m = 1e-3;
  const auto moved = [&](double by_m) {
    FeedEnds there = ends;
    there.sample_x_m += by_m;
    return values_of(p, options, there);
  };
  const Values up = moved(kStep_m);
  const Values down = moved(-kStep_m);
  std::array<double, kCharacteristicCount> slopes;
  for (std::size_t i = 0; i < slopes.size(); ++i) {
    slopes[i] = (up[i] - down[i]) / (2 * kStep_m);
  }
  return slopes;
}

namespace {

// What is only known once the bounce was seen.
constexpr std::array kAfterBounce{Characteristic::kVxOut,
                                  Characteristic::kVyOut,
                                  Characteristic::kVzOut,
                                  Characteristic::kKick,
                                  Characteristic::kTurn,
                                  Characteristic::kContactTime,
                                  Characteristic::kContactY,
                                  Characteristic::kContactZ,
                                  Characteristic::kPathLength};

}  // namespace

Feed derive_feed(const FlightFit& fit,
                 const FlightOptions& options,
                 const FeedEnds& ends) {
  Feed feed;
  const Values values = values_of(fit.parameters, options, ends);
  const FlightCovariance root = fit.covariance.llt().matrixL();
  const Values sigmas = sigmas_of(fit.parameters, root, options, ends);
  for (std::size_t i = 0; i < kCharacteristicCount; ++i) {
    // A value at the edge of what can be known has no uncertainty either.
    const bool known = std::isfinite(values[i]) && std::isfinite(sigmas[i]);
    feed.values[i] = known ? Measured{values[i], sigmas[i]} : Measured{};
  }
  feed.t_launch_s = values[kLaunchTime];
  feed.t_bounce_s = values[kBounceTime];
  feed.st_bounce_s = sigmas[kBounceTime];
  const auto& c = fit.covariance;
  feed.rho_xy = c(kBounceX, kBounceY) /
                std::sqrt(c(kBounceX, kBounceX) * c(kBounceY, kBounceY));
  feed.sightings = fit.before + fit.after;
  feed.rms_px = fit.rms_px;
  feed.status =
      fit.bounce_seen() ? FeedStatus::kMeasured : FeedStatus::kExtrapolated;
  if (!fit.bounce_seen()) {
    for (const Characteristic id : kAfterBounce) feed[id] = {};
  }
  return feed;
}

}  // namespace evenfeed
