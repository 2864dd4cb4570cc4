// SPDX-License-Identifier: MIT
#include "flight/turn_at_sample.h"

#include "base/parallel.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include <Eigen/LU>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestOfReturn = 4;
constexpr std::size_t kFewestOfFeed = 4;

// The way of a return in the picture, carried on to t_s.
struct Carried {
  Eigen::Vector2d place_px;
  double sd = 0;       // in sigmas of a sighting
  double step_px = 0;  // in the time between two pictures
};

// A parabola through its first sightings: over so few pictures a flight is one
// but for about a hundredth of a step.
Carried carried_back(const std::vector<Sighting>& seen, double t_s) {
  const auto count = static_cast<Eigen::Index>(
      std::min<std::size_t>(seen.size(), kFewestOfReturn + 1));
  const double frame_s =
      (seen[static_cast<std::size_t>(count - 1)].t_s - seen.front().t_s) /
      static_cast<double>(count - 1);
  Eigen::Matrix<double, Eigen::Dynamic, 3> powers(count, 3);
  Eigen::Matrix<double, Eigen::Dynamic, 2> places(count, 2);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Sighting& s = seen[static_cast<std::size_t>(i)];
    const double t = (s.t_s - t_s) / frame_s;
    powers.row(i) << 1, t, t * t;
    places.row(i) = s.centre_px.transpose();
  }
  const Eigen::Matrix3d inverse = (powers.transpose() * powers).inverse();
  const Eigen::Matrix<double, 3, 2> curve =
      inverse * (powers.transpose() * places);
  return {
      curve.row(0).transpose(), std::sqrt(inverse(0, 0)), curve.row(1).norm()};
}

bool lies_on(const std::vector<Sighting>& back, const Sighting& s) {
  constexpr double kLongestGap = 2.5;  // pictures
  constexpr double kSigmas = 4;
  constexpr double kBend = 0.03;  // of a step: what is no parabola
  const double frame_s = back[1].t_s - back[0].t_s;
  const double gap_s = back.front().t_s - s.t_s;
  if (!(gap_s > 0) || gap_s > kLongestGap * frame_s) return false;
  const Carried there = carried_back(back, s.t_s);
  const double most_px =
      kSigmas * s.sigma_px * std::hypot(1, there.sd) + kBend * there.step_px;
  return (there.place_px - s.centre_px).norm() < most_px;
}

// What goes on without a turn is no return but more of the same flight.
bool turns(const std::vector<Sighting>& feed,
           std::size_t given,
           const std::vector<Sighting>& back) {
  const auto last = feed.end() - static_cast<std::ptrdiff_t>(given) - 1;
  const Eigen::Vector2d forth_px = last->centre_px - (last - 1)->centre_px;
  const Eigen::Vector2d back_px =
      back[given + 1].centre_px - back[given].centre_px;
  return forth_px.dot(back_px) < 0;
}

// How many of the feed's last sightings are the return's.
std::size_t belonging_to(Track& back, const std::vector<Sighting>& feed) {
  std::size_t given = 0;
  while (feed.size() > kFewestOfFeed + given &&
         lies_on(back.sightings, feed[feed.size() - 1 - given])) {
    back.sightings.insert(back.sightings.begin(),
                          feed[feed.size() - 1 - given]);
    ++given;
  }
  // Only the first after a hit can be farther than the last before it; where
  // more lie on the way back, the ball turned at its bounce.
  constexpr std::size_t kMost = 2;
  if (given > kMost) return 0;
  if (given > 0 && !turns(feed, given, back.sightings)) return 0;
  return given;
}

void give_to_its_return(FoundFeed& feed,
                        const CameraModel& camera,
                        const FlightOptions& options) {
  for (Track& track : feed.returned) {
    if (track.sightings.size() < kFewestOfReturn) continue;
    Track longer = track;
    const std::size_t given = belonging_to(longer, feed.sightings);
    if (given == 0) continue;
    std::vector<Sighting> own(
        feed.sightings.begin(),
        feed.sightings.end() - static_cast<std::ptrdiff_t>(given));
    // Even if too little is left to be measured: a feed whose second arc is its
    // return's first sighting would be measured wrong.
    feed.fit = fit_flight(own, camera, options);
    feed.sightings = std::move(own);
    track = std::move(longer);
    return;
  }
}

}  // namespace

void give_returns_their_first(std::vector<FoundFeed>& found,
                              const CameraModel& camera,
                              const FlightOptions& options) {
  for_each_index(found.size(), [&](std::size_t i) {
    give_to_its_return(found[i], camera, options);
  });
}

}  // namespace evenfeed
