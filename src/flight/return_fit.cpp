// SPDX-License-Identifier: MIT
#include "flight/return_fit.h"

#include "base/nan.h"
#include "base/parallel.h"
#include "base/units.h"
#include "flight/derive_feed.h"
#include "flight/propagate.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// Covariance of the place at which a flight is at t_s on its second arc.
Eigen::Matrix3d place_covariance_m2(const FlightFit& feed,
                                    const FlightOptions& options,
                                    double t_s) {
  const FlightCovariance root = feed.covariance.llt().matrixL();
  const auto place_root =
      propagated_root(feed.parameters, root, [&](const FlightVector& p) {
        const Eigen::Vector3d x_m =
            flight_state(p, options, Arc::kOut, t_s).x_m;
        return std::array<double, 3>{x_m.x(), x_m.y(), x_m.z()};
      });
  return place_root * place_root.transpose();
}

// `closing_mps`: velocity of the feed less that of the return.
KnownPassage meeting(const FlightFit& feed,
                     const FlightOptions& options,
                     double t_s,
                     double t_sd_s,
                     const Eigen::Vector3d& closing_mps) {
  // The ball is pressed flat and rolls on the sample for about a millisecond.
  constexpr double kContact_m = 0.002;
  KnownPassage passage;
  passage.t_s = t_s;
  passage.x_m = flight_state(feed.parameters, options, Arc::kOut, t_s).x_m;
  const Eigen::Vector3d along = closing_mps * t_sd_s;
  const Eigen::Matrix3d covariance =
      place_covariance_m2(feed, options, t_s) + along * along.transpose() +
      kContact_m * kContact_m * Eigen::Matrix3d::Identity();
  const Eigen::Matrix3d lower = covariance.llt().matrixL();
  passage.root_information = lower.inverse();
  return passage;
}

// When the two flights, each carried on, come nearest to each other.
double meeting_time_s(const FlightVector& feed,
                      const FlightVector& back,
                      const FlightOptions& options,
                      double start_s) {
  double t_s = start_s;
  for (int i = 0; i < 4; ++i) {
    const auto a = flight_state(feed, options, Arc::kOut, t_s);
    const auto b = flight_state(back, options, Arc::kIn, t_s);
    const Eigen::Vector3d closing = a.v_mps - b.v_mps;
    t_s -= (a.x_m - b.x_m).dot(closing) / closing.squaredNorm();
  }
  return t_s;
}

// Between the contact and the landing; NaN when it does not rise at first.
double apex_time_s(const FlightVector& p,
                   const FlightOptions& options,
                   double t_contact_s) {
  auto state = flight_state(p, options, Arc::kIn, t_contact_s);
  if (state.v_mps.z() <= 0) return kNaN;
  double t_s = t_contact_s;
  const auto air = forces_of_arc(p, Arc::kIn, options.air_per_m());
  for (int i = 0; i < 6; ++i) {
    t_s -= state.v_mps.z() / acceleration_mps2<double>(state.v_mps, air).z();
    state = flight_state(p, options, Arc::kIn, t_s);
  }
  return t_s < p[kTimeOfBounce] ? t_s : kNaN;
}

using ReturnArray = std::array<double, kReturnValueCount>;

double passage_strain(const FlightVector& p, const FlightOptions& options) {
  const KnownPassage& known = *options.passage;
  const auto then = flight_state(p, options, Arc::kIn, known.t_s);
  return (known.root_information * (then.x_m - known.x_m)).norm();
}

// Another flight, hardly less likely, leaves the sample otherwise.
bool is_ambiguous(const std::vector<LikelyFlight>& flights,
                  const FlightOptions& options,
                  double t_s) {
  constexpr double kHardlyLess = 6;    // -2 log of odds of twenty
  constexpr double kOtherwise = 0.15;  // of the speed
  const auto leaving = [&](const LikelyFlight& one) -> Eigen::Vector3d {
    return flight_state(one.fit.parameters, options, Arc::kIn, t_s).v_mps;
  };
  const Eigen::Vector3d best = leaving(flights.front());
  return std::any_of(
      flights.begin(), flights.end(), [&](const LikelyFlight& one) {
        return one.cost < flights.front().cost + kHardlyLess &&
               (leaving(one) - best).norm() > kOtherwise * best.norm();
      });
}

// Flights of a ball that falls past the table's end to the floor, as one that a
// sample behind the end sends down does: those of a table whose top lies there.
// Flights over the table have to stay above it, and make a bounce up.
std::vector<LikelyFlight> flights_past_the_end(
    const std::vector<Sighting>& sightings,
    CameraModel camera,
    FlightOptions options) {
  constexpr double kFar_m = 10;
  const Eigen::Vector3d up_m(0, 0, -options.table.floor_z_m);
  if (options.passage->x_m.x() < options.table.half_length_m) return {};
  camera.camera_from_table.translation_m -=
      camera.camera_from_table.rotation * up_m;
  options.passage->x_m += up_m;
  options.table.half_length_m = options.table.half_width_m = kFar_m;
  return flights_doubting_bounce(
      sightings, camera, options, sightings.back().t_s, kLikelierBounce);
}

// Fits one set of sightings about a meeting guessed at first, then about the
// one that was found. `options` lends its passage; what it held is lost.
ReturnFit fit_one(const FlightFit& feed,
                  std::vector<Sighting> sightings,
                  const CameraModel& camera,
                  FlightOptions& options) {
  ReturnFit result;
  result.sightings = std::move(sightings);
  const double gap_s = result.sightings.front().t_s - feed.end_s;
  const double t_sd_s = std::max(0.5 * gap_s, 0.005);
  double& t_s = result.t_contact_s;
  t_s = feed.end_s + 0.5 * gap_s;
  const auto arrival = [&] {
    return flight_state(feed.parameters, options, Arc::kOut, t_s);
  };
  constexpr double kTypicalClosing = 1.7;  // a sample gives back most speed
  options.passage =
      meeting(feed, options, t_s, t_sd_s, kTypicalClosing * arrival().v_mps);
  FlightFit& fit = result.fit;
  // From above, a return that rises and one that bounces at once look alike.
  auto flights = flights_doubting_bounce(result.sightings,
                                         camera,
                                         options,
                                         result.sightings.back().t_s,
                                         kLikelierBounce);
  if (flights.empty()) {
    fit.message = "no flight explains it";
    return result;
  }
  auto others = flights_past_the_end(result.sightings, camera, options);
  others.insert(others.begin(), flights.begin(), flights.end());
  result.ambiguous = is_ambiguous(others, options, t_s);
  fit = std::move(flights.front().fit);
  t_s = meeting_time_s(feed.parameters, fit.parameters, options, t_s);
  const auto leaving = flight_state(fit.parameters, options, Arc::kIn, t_s);
  options.passage =
      meeting(feed, options, t_s, t_sd_s, arrival().v_mps - leaving.v_mps);
  result.passage = options.passage;
  fit = refine_flight(result.sightings, camera, options, fit.parameters);
  if (!fit.ok()) return result;
  constexpr double kMostStrain = 5;  // else it is another ball's
  if (passage_strain(fit.parameters, options) > kMostStrain) {
    fit.status = FitStatus::kPoorFit;
    fit.message = "it does not begin where the feed ended";
    return result;
  }
  t_s = meeting_time_s(feed.parameters, fit.parameters, options, t_s);
  // They meet after the last sight of the one and before the first of the
  // other, within what the contact itself takes.
  constexpr double kSlack_s = 0.004;
  const double first_s = result.sightings[fit.first_inlier()].t_s;
  if (t_s < feed.end_s - kSlack_s || t_s > first_s + kSlack_s) {
    fit.status = FitStatus::kPoorFit;
    fit.message = "it does not begin when the feed ended";
  }
  return result;
}

ReturnFit fit_return(const FoundFeed& feed,
                     const CameraModel& camera,
                     FlightOptions options) {
  ReturnFit best;
  if (!feed.whole()) return best;
  const Track* first = nullptr;
  for (const Track& track : feed.returned) {
    ReturnFit one = fit_one(feed.fit, track.sightings, camera, options);
    if (!one.fit.ok() || one.fit.inliers() <= best.fit.inliers()) continue;
    best = std::move(one);
    first = &track;
  }
  for (const Track& track : feed.returned) {
    if (!first || &track == first) continue;
    ReturnFit both = fit_one(feed.fit,
                             merged_in_time(best.sightings, track.sightings),
                             camera,
                             options);
    const int more = static_cast<int>(track.sightings.size() + 1) / 2;
    if (!both.fit.ok() || both.fit.inliers() < best.fit.inliers() + more) {
      continue;
    }
    best = std::move(both);
  }
  return best;
}

// The sigmas of sightings were set by feeds, which are seen longer streaked and
// nearer the net; a return may scatter less.
void scale_covariances(std::vector<ReturnFit>& returns,
                       double sightings_per_error) {
  std::vector<const FlightFit*> fits;
  for (const ReturnFit& one : returns) fits.push_back(&one.fit);
  const auto reduced = pooled_reduced_chi2(fits);
  if (!reduced) return;
  const double scale = *reduced * sightings_per_error;
  for (ReturnFit& one : returns) one.fit.covariance *= scale;
}

void refuse(ReturnFit& one, const char* why) {
  one.fit.status = FitStatus::kPoorFit;
  one.fit.message = why;
}

// Of the heading at the bounce.
double turn_rad(const FlightVector& p) {
  const Eigen::Vector2d in = p.segment<2>(kVelocityIn);
  const Eigen::Vector2d out = p.segment<2>(kVelocityOut);
  return std::atan2(in.x() * out.y() - in.y() * out.x(), in.dot(out));
}

// Seen from low down, a ball that falls on past the end looks as if it came
// back; only its flight in space tells.
bool surely(int way, const FlightFit& fit) {
  constexpr double kSigmas = 3;
  const double sd_mps = std::sqrt(fit.covariance(kVelocityIn, kVelocityIn));
  return way * fit.parameters[kVelocityIn] > kSigmas * sd_mps;
}

// What sends one ball back sends most of them back.
bool most_fly_on(const std::vector<ReturnFit>& returns) {
  int on = 0, back = 0;
  for (const ReturnFit& one : returns) {
    if (!one.fit.ok()) continue;
    on += surely(1, one.fit);
    back += surely(-1, one.fit);
  }
  return on > back;
}

double height_at_contact_m(const ReturnFit& one, const FlightOptions& options) {
  const FlightVector& p = one.fit.parameters;
  return flight_state(p, options, Arc::kIn, one.t_contact_s).x_m.z();
}

// A wrong flight through the meeting and a short track strains its lift or the
// sightings: a ball curves no more than balls do, and returns of one session
// lie about equally well on their flights.
void refuse_doubtful_returns(std::vector<ReturnFit>& returns,
                             const FlightOptions& options) {
  constexpr int kFewestBefore = 2;  // with the meeting they tell the velocity
  constexpr double kMostLift_sds = 3.5;
  constexpr double kMostTurn_sds = 3.5;
  constexpr double kMostOfUsual = 2;
  constexpr double kLeastUsed = 0.85;
  // What a box or the floor throws back; a sample stands on the table's end.
  constexpr double kLowest_m = -0.08;
  std::vector<double> usual;
  for (const ReturnFit& one : returns) {
    if (one.fit.ok()) usual.push_back(reduced_chi2(one.fit));
  }
  const double most_chi2 =
      usual.empty() ? 0 : kMostOfUsual * std::max(1., median(usual));
  const bool nothing_there = most_fly_on(returns);
  for (ReturnFit& one : returns) {
    if (!one.fit.ok()) continue;
    const double lift = one.fit.parameters[kLiftIn] - options.lift_in.mean;
    if (one.fit.before < kFewestBefore) {
      refuse(one, "it was hardly seen before it landed");
    } else if (!surely(-1, one.fit)) {
      refuse(one, "it does not surely fly back");
    } else if (nothing_there) {
      refuse(one, "most other balls surely fly on");
    } else if (std::abs(lift) > kMostLift_sds * options.lift_in.sd) {
      refuse(one, "its flight curves as no ball's does");
    } else if (one.fit.after > 0 && std::abs(turn_rad(one.fit.parameters)) >
                                        kMostTurn_sds * options.turn.sd) {
      refuse(one, "it turns at its bounce as no ball does");
    } else if (height_at_contact_m(one, options) < kLowest_m) {
      refuse(one, "it begins below the table");
    } else if (one.ambiguous) {
      refuse(one, "two flights explain it about equally well");
    } else if (used_share(one.fit, one.sightings) < kLeastUsed) {
      refuse(one, "too many of its sightings lie off its flight");
    } else if (reduced_chi2(one.fit) > most_chi2) {
      refuse(one, "it lies worse on a flight than the other returns");
    }
  }
}

// Of no use to who compares samples, and seldom as good as it says: of a few
// sightings before a landing, a return and its mirror image are both flights.
void refuse_vague_returns(const std::vector<FoundFeed>& found,
                          const CameraModel& camera,
                          const FlightOptions& options,
                          std::vector<ReturnFit>& returns) {
  constexpr double kMostOfSpeed = 0.2;
  constexpr double kMost_deg = 10;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!returns[i].fit.ok()) continue;
    const auto values =
        derive_return(returns[i], found[i].fit, camera, options, 0);
    const Measured speed =
        values[static_cast<std::size_t>(ReturnValue::kSpeed)];
    const Measured angle =
        values[static_cast<std::size_t>(ReturnValue::kAngle)];
    if (!(speed.sigma < kMostOfSpeed * speed.value) ||
        !(angle.sigma < kMost_deg)) {
      refuse(returns[i], "its speed or angle is hardly known");
    }
  }
}

}  // namespace

ReturnArray values_of_return(const FlightVector& p,
                             const FlightOptions& options,
                             const FlightVector& feed,
                             double near_contact_s,
                             double net_x_m) {
  ReturnArray values;
  const auto put = [&](ReturnValue id, double value) {
    values[static_cast<std::size_t>(id)] = value;
  };
  const double contact_s = meeting_time_s(feed, p, options, near_contact_s);
  const auto start = flight_state(p, options, Arc::kIn, contact_s);
  put(ReturnValue::kSpeed, start.v_mps.norm());
  put(ReturnValue::kAngle,
      deg_from_rad(std::atan2(start.v_mps.z(), start.v_mps.head<2>().norm())));
  const double apex_s = apex_time_s(p, options, contact_s);
  const auto apex = std::isfinite(apex_s)
                        ? flight_state(p, options, Arc::kIn, apex_s).x_m
                        : Eigen::Vector3d::Constant(kNaN);
  put(ReturnValue::kApex, mm_from_m(apex.z()));
  put(ReturnValue::kApexX, mm_from_m(apex.x()));
  const double net_s = time_at_x_s(p, options, Arc::kIn, net_x_m);
  put(ReturnValue::kNetTime, net_s - contact_s);
  put(ReturnValue::kNetHeight,
      std::isfinite(net_s)
          ? mm_from_m(flight_state(p, options, Arc::kIn, net_s).x_m.z())
          : kNaN);
  put(ReturnValue::kX, mm_from_m(p[kBounceX]));
  put(ReturnValue::kY, mm_from_m(p[kBounceY]));
  return values;
}

bool landing_known(const ReturnFit& fitted, const CameraModel& camera) {
  if (fitted.fit.bounce_seen()) return true;
  constexpr double kEdge_px = 40;
  const Sighting& last = fitted.sightings[fitted.fit.last_inlier()];
  return !camera.in_picture(last.centre_px, kEdge_px);
}

FlightOptions options_of_returns(const FlightOptions& options,
                                 const FlightOptions& profile) {
  FlightOptions own = options;
  own.launch_height.reset();
  own.lift_in = own.lift_out = profile.lift_any;
  own.side_lift_in = own.side_lift_out = profile.side_lift_in;
  own.kick = profile.kick;
  own.turn = profile.turn;
  return own;
}

std::vector<ReturnFit> fit_returns(const std::vector<FoundFeed>& found,
                                   const CameraModel& camera,
                                   const FlightOptions& options,
                                   double sightings_per_error) {
  std::vector<ReturnFit> returns(found.size());
  for_each_index(found.size(), [&](std::size_t i) {
    returns[i] = fit_return(found[i], camera, options);
  });
  refuse_doubtful_returns(returns, options);
  scale_covariances(returns, sightings_per_error);
  refuse_vague_returns(found, camera, options, returns);
  return returns;
}

std::array<Measured, kReturnValueCount> derive_return(
    const ReturnFit& fitted,
    const FlightFit& feed,
    const CameraModel& camera,
    const FlightOptions& options,
    double net_x_m) {
  const FlightFit& fit = fitted.fit;
  const auto read = [&](const FlightVector& p) {
    return values_of_return(
        p, options, feed.parameters, fitted.t_contact_s, net_x_m);
  };
  const ReturnArray values = read(fit.parameters);
  const FlightCovariance root = fit.covariance.llt().matrixL();
  const ReturnArray sigmas = propagated_sigmas(fit.parameters, root, read);
  std::array<Measured, kReturnValueCount> all;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool known = std::isfinite(values[i]) && std::isfinite(sigmas[i]);
    if (known) all[i] = {values[i], sigmas[i]};
  }
  if (!landing_known(fitted, camera)) {
    all[static_cast<std::size_t>(ReturnValue::kX)] = {};
    all[static_cast<std::size_t>(ReturnValue::kY)] = {};
  }
  return all;
}

void give_returns(std::vector<FoundFeed>& found,
                  std::vector<Track> returns,
                  double within_s) {
  for (Track& track : returns) {
    FoundFeed* answered = nullptr;
    for (FoundFeed& feed : found) {
      const double end_s = feed.sightings.back().t_s;
      const double ago_s = track.start_s() - end_s;
      if (ago_s <= 0 || ago_s > within_s) continue;
      if (answered && answered->sightings.back().t_s >= end_s) continue;
      answered = &feed;
    }
    if (answered) answered->returned.push_back(std::move(track));
  }
}

}  // namespace evenfeed
