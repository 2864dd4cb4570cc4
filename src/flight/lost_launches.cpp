// SPDX-License-Identifier: MIT
#include "flight/lost_launches.h"

#include "flight/carries_on.h"
#include "flight/flight_model.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestLaunches = 5;
constexpr std::size_t kFewestOfThrow = 4;
constexpr double kSoonest = 0.8;  // of the usual interval: the next launch
// How much faster than it lands a ball may seem; at the mouth it has not lost
// speed yet, and is higher than is thought.
constexpr double kMostTimes = 2, kMostTimesThere = 4;
constexpr double kWatched_s = 0.2;  // a ball dropped from 0.2 m lands then

struct Mouth {
  Eigen::Vector3d x_m;       // where feeds are first seen
  Eigen::Vector3d spread_m;  // sd: in the air frames see them here or there
  Eigen::Vector2d first_px;  // the same in the picture
  Eigen::Vector2d reach_px;
};

std::optional<Mouth> mouth_of(const std::vector<FoundFeed>& found,
                              const CameraModel& camera,
                              const FlightOptions& options) {
  std::vector<double> u, v, x, y, z;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    const Sighting& first = feed.sightings[feed.fit.first_inlier()];
    const auto at =
        flight_state(feed.fit.parameters, options, Arc::kIn, first.t_s).x_m;
    u.push_back(first.centre_px.x());
    v.push_back(first.centre_px.y());
    x.push_back(at.x());
    y.push_back(at.y());
    z.push_back(at.z());
  }
  if (u.size() < kFewestLaunches) return std::nullopt;
  const Eigen::Vector3d x_m(median(x), median(y), median(z));
  const Eigen::Vector2d first_px(median(u), median(v));
  constexpr double kSpreads = 6;
  constexpr double kLeastPart = 0.02;  // of the picture
  const double least_px =
      kLeastPart * std::max(camera.width_px, camera.height_px);
  // What drops is followed only once it is fast enough, and has fallen so far.
  constexpr double kFallen_m = 0.15;
  const auto fallen_px = camera.project(x_m - Eigen::Vector3d(0, 0, kFallen_m));
  const Eigen::Vector2d fall_px =
      fallen_px ? Eigen::Vector2d((*fallen_px - first_px).cwiseAbs())
                : Eigen::Vector2d::Zero();
  constexpr double kLeastPlace_m = 0.10;
  const auto spread_of = [&](const std::vector<double>& places) {
    return std::max(kLeastPlace_m, median_absolute_deviation(places));
  };
  const Eigen::Vector2d reach_px(
      std::max(least_px, kSpreads * median_absolute_deviation(u)),
      std::max(least_px, kSpreads * median_absolute_deviation(v)));
  return Mouth{x_m,
               {spread_of(x), spread_of(y), spread_of(z)},
               first_px,
               reach_px + fall_px};
}

bool begins_at(const Mouth& mouth, const Track& track) {
  const Eigen::Vector2d off =
      (track.sightings.front().centre_px - mouth.first_px).cwiseAbs();
  return (off.array() <= mouth.reach_px.array()).all();
}

// A throw from the mouth: place, velocity and what spin adds to the
// acceleration, each with what launchers do as its prior.
constexpr int kThrowUnknowns = 9;
using Throw = Eigen::Matrix<double, kThrowUnknowns, 1>;

Throw prior_sds(const Mouth& mouth) {
  constexpr double kSpeed_mps = 10;
  constexpr double kSpin_mps2 = 3;
  Throw sd;
  sd.segment<3>(0) = mouth.spread_m;
  sd.segment<3>(3).setConstant(kSpeed_mps);
  sd.segment<3>(6).setConstant(kSpin_mps2);
  return sd;
}

Eigen::Vector3d place_at(const Throw& one,
                         const FlightOptions& options,
                         double t_s) {
  AirForces<double> air;
  air.drag_per_m = options.drag.mean * options.air_per_m();
  const auto state =
      fly<double>({one.segment<3>(0), one.segment<3>(3)}, t_s, air);
  return state.x_m + one.segment<3>(6) * (t_s * t_s / 2);
}

// Picture residuals of a throw in sigmas, then the priors; nothing behind the
// camera.
std::optional<Eigen::VectorXd> residuals_of(
    const Throw& one,
    const Mouth& mouth,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    double sigma_px) {
  const auto count = static_cast<Eigen::Index>(sightings.size());
  Eigen::VectorXd r(2 * count + kThrowUnknowns);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Sighting& s = sightings[static_cast<std::size_t>(i)];
    const auto seen =
        camera.project(place_at(one, options, s.t_s - sightings.front().t_s));
    if (!seen) return std::nullopt;
    r.segment<2>(2 * i) = (*seen - s.centre_px) / sigma_px;
  }
  Throw prior = Throw::Zero();
  prior.head<3>() = mouth.x_m;
  r.tail<kThrowUnknowns>() = (one - prior).cwiseQuotient(prior_sds(mouth));
  return r;
}

// From the mouth, and not back to it like a ball that rolls home.
bool leaves(const Mouth& mouth, const Throw& one) {
  constexpr double kMostSds = 4;
  constexpr double kMostBack_mps = 0.5;  // a ball that only drops out
  const Eigen::Vector3d off =
      (one.segment<3>(0) - mouth.x_m).cwiseQuotient(mouth.spread_m);
  return off.norm() < kMostSds && one[3] > -kMostBack_mps;
}

bool flies_freely(const Mouth& mouth,
                  const Track& track,
                  const CameraModel& camera,
                  const FlightOptions& options) {
  constexpr double kSigma_px = 0.5;
  constexpr double kMostRms_px = 1.5;
  std::vector<Sighting> first;
  for (const Sighting& s : track.sightings) {
    if (s.t_s - track.start_s() <= kWatched_s) first.push_back(s);
  }
  if (first.size() < kFewestOfThrow) return false;
  Throw one = Throw::Zero();
  one.head<3>() = mouth.x_m;
  const Throw steps = 1e-4 * prior_sds(mouth);
  const auto at = [&](const Throw& x) {
    return residuals_of(x, mouth, first, camera, options, kSigma_px);
  };
  for (int round = 0; round < 8; ++round) {
    const auto r = at(one);
    if (!r) return false;
    Eigen::MatrixXd jacobian(r->size(), kThrowUnknowns);
    for (int k = 0; k < kThrowUnknowns; ++k) {
      Throw near = one;
      near[k] += steps[k];
      const auto moved = at(near);
      if (!moved) return false;
      jacobian.col(k) = (*moved - *r) / steps[k];
    }
    one -= (jacobian.transpose() * jacobian)
               .ldlt()
               .solve(jacobian.transpose() * *r);
    if (!one.allFinite() || one.segment<3>(3).norm() > 60) return false;
  }
  const auto r = at(one);
  if (!r || !leaves(mouth, one)) return false;
  const double cost = r->squaredNorm() * kSigma_px * kSigma_px;
  return cost <
         kMostRms_px * kMostRms_px * 2 * static_cast<double>(first.size());
}

// The shortest time from launch to launch that is usual; 0 when too few say.
double usual_interval_s(const std::vector<FoundFeed>& found) {
  std::vector<double> starts, steps;
  for (const FoundFeed& feed : found) {
    if (feed.whole()) starts.push_back(feed.sightings.front().t_s);
  }
  if (starts.size() < kFewestLaunches) return 0;
  std::sort(starts.begin(), starts.end());
  for (std::size_t i = 1; i < starts.size(); ++i) {
    steps.push_back(starts[i] - starts[i - 1]);
  }
  std::sort(steps.begin(), steps.end());
  return steps[steps.size() / 4];
}

// A launcher does not throw again so soon: what begins after a feed has ended
// and long before the next is due is what became of that feed's ball. A second
// ball thrown with the first begins before its flight ends.
bool rolls_on(const Track& piece,
              const std::vector<FoundFeed>& found,
              double interval_s) {
  const double start_s = piece.start_s();
  return std::any_of(found.begin(), found.end(), [&](const FoundFeed& feed) {
    return feed.whole() && start_s > feed.fit.end_s &&
           start_s < feed.sightings.front().t_s + kSoonest * interval_s;
  });
}

// A track led from speck to speck: several times as fast as feeds land.
bool is_too_fast(const FoundFeed& piece,
                 double most_times,
                 const std::vector<FoundFeed>& found,
                 const CameraModel& camera) {
  std::vector<double> speeds_mps;
  for (const FoundFeed& feed : found) {
    if (feed.whole()) speeds_mps.push_back(feed.fit.parameters[kVelocityIn]);
  }
  const Sighting& first = piece.sightings.front();
  const Sighting& last = piece.sightings.back();
  const auto from = camera.meet_plane(first.centre_px, kTypicalHeight_m);
  const auto to = camera.meet_plane(last.centre_px, kTypicalHeight_m);
  return speeds_mps.size() >= kFewestLaunches && from && to &&
         to->x() - from->x() >
             most_times * median(speeds_mps) * (last.t_s - first.t_s);
}

// Takes out of `tracks` those that `add` has added: it looks at them all, so
// they stay as they are until each was asked.
template <typename Add>
void take_launches(std::vector<Track>& tracks, const Add& add) {
  std::vector<char> taken;
  for (const Track& track : tracks) taken.push_back(add(track));
  std::size_t index = 0;
  std::erase_if(tracks, [&](const Track&) { return taken[index++] != 0; });
}

// The same ball is a feed already, or another track of it is a launch.
bool is_told(const std::vector<FoundFeed>& found, const Track& track) {
  constexpr double kSameBall_s = 0.1;
  return std::any_of(found.begin(), found.end(), [&](const FoundFeed& feed) {
    return std::abs(feed.sightings.front().t_s - track.start_s()) < kSameBall_s;
  });
}

std::string fate_of(const std::vector<Sighting>& sightings,
                    const CameraModel& camera,
                    double net_x_m) {
  constexpr double kEdge_px = 25;
  constexpr double kDropped_m = 0.5;
  constexpr double kAtNet_m = 0.25;
  const Eigen::Vector2d last_px = sightings.back().centre_px;
  const auto first =
      camera.meet_plane(sightings.front().centre_px, kTypicalHeight_m);
  const auto last = camera.meet_plane(last_px, kTypicalHeight_m);
  if (first && last) {
    if (std::abs(last->x() - first->x()) < kDropped_m &&
        first->x() < net_x_m - kAtNet_m && last->x() < net_x_m - kAtNet_m) {
      return "dropped at the launcher";
    }
    if (std::abs(last->x() - net_x_m) < kAtNet_m) return "stopped at the net";
  }
  return camera.in_picture(last_px, kEdge_px)
             ? "lost before its bounce"
             : "left the picture before its bounce";
}

}  // namespace

FoundFeed unmeasured_launch(const Track& track,
                            const CameraModel& camera,
                            double net_x_m) {
  FoundFeed feed;
  feed.sightings = track.sightings;
  feed.fit.status = FitStatus::kPoorFit;
  feed.fit.message = fate_of(track.sightings, camera, net_x_m);
  return feed;
}

int add_lost_launches(std::vector<FoundFeed>& found,
                      const std::vector<Track>& strays,
                      const CameraModel& camera,
                      const FlightOptions& options,
                      double net_x_m) {
  const auto mouth = mouth_of(found, camera, options);
  if (!mouth) return 0;
  std::vector<FoundFeed> added;
  const auto add_if_launched = [&](const Track& track) {
    if (!begins_at(*mouth, track) || is_told(found, track) ||
        is_told(added, track) || carries_on(track, strays, camera) ||
        carries_on_return(track, found, camera) ||
        !flies_freely(*mouth, track, camera, options)) {
      return false;
    }
    added.push_back(unmeasured_launch(track, camera, net_x_m));
    return true;
  };
  std::for_each(strays.begin(), strays.end(), add_if_launched);
  const double soonest_s = kSoonest * usual_interval_s(found);
  for (FoundFeed& feed : found) {
    const double due_s = feed.sightings.front().t_s + soonest_s;
    take_launches(feed.returned, [&](const Track& track) {
      return track.start_s() > due_s && add_if_launched(track);
    });
  }
  found.insert(found.end(), added.begin(), added.end());
  return static_cast<int>(added.size());
}

int drop_what_was_not_launched(std::vector<FoundFeed>& found,
                               const CameraModel& camera,
                               const FlightOptions& options,
                               double net_x_m,
                               int fewest_sightings) {
  const auto mouth = mouth_of(found, camera, options);
  if (!mouth) return 0;
  const double interval_s = usual_interval_s(found);
  const auto not_launched = [&](const FoundFeed& feed) {
    if (feed.fit.ok() && feed.fit.before > 0) return false;
    const Track track{feed.sightings};
    const bool at_mouth = begins_at(*mouth, track);
    if (feed.fit.ok()) return !at_mouth && rolls_on(track, found, interval_s);
    if (rolls_on(track, found, interval_s)) return true;
    const bool few =
        static_cast<int>(feed.sightings.size()) <= fewest_sightings;
    const double most_times = at_mouth ? kMostTimesThere : kMostTimes;
    if (few && is_too_fast(feed, most_times, found, camera)) return true;
    if (at_mouth) return false;
    if (feed.sightings.size() < kFewestOfThrow) return true;
    const auto begins =
        camera.meet_plane(feed.sightings.front().centre_px, kTypicalHeight_m);
    return few && begins && begins->x() > net_x_m;
  };
  std::vector<FoundFeed> launched;
  for (FoundFeed& feed : found) {
    if (!not_launched(feed)) launched.push_back(feed);
  }
  const auto dropped = found.size() - launched.size();
  found = std::move(launched);
  return static_cast<int>(dropped);
}

}  // namespace evenfeed
