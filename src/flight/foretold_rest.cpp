// SPDX-License-Identifier: MIT
#include "flight/foretold_rest.h"

#include "flight/linear_flight.h"
#include "flight/measurable.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

namespace evenfeed {
namespace {

constexpr int kFewestBefore = 4;
constexpr double kLongest_s = 0.6;  // from the bounce to the sample
constexpr double kLongestUnseen_s = 0.1;
constexpr double kGate2 = 16;  // squared sigmas, of two
// Foretold worse than this, of the picture's longer side, anything is near.
constexpr double kMostSd = 0.03;

bool earlier(const Sighting& a, const Sighting& b) { return a.t_s < b.t_s; }

bool same(const Sighting& a, const Sighting& b) {
  return a.t_s == b.t_s && a.centre_px == b.centre_px;
}

bool is_among(const Sighting& s, const std::vector<Sighting>& all) {
  return std::any_of(all.begin(), all.end(), [&](const Sighting& one) {
    return same(s, one);
  });
}

// What no flight uses, in order of time.
std::vector<Sighting> unused_sightings(const std::vector<FoundFeed>& found,
                                       const std::vector<Track>& strays) {
  std::vector<Sighting> all;
  const auto add = [&](const Track& track) {
    all.insert(all.end(), track.sightings.begin(), track.sightings.end());
  };
  for (const FoundFeed& feed : found) {
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      if (!feed.well_seen() || feed.fit.used[i] == 0) {
        all.push_back(feed.sightings[i]);
      }
    }
    std::for_each(feed.returned.begin(), feed.returned.end(), add);
  }
  std::for_each(strays.begin(), strays.end(), add);
  std::sort(all.begin(), all.end(), earlier);
  return all;
}

struct Candidate {
  Sighting sighting;
  double distance2;     // squared sigmas, from where it was foretold
  FlightVector flight;  // the one foretold, told of it (a Kalman update)
};

class Seeker {
 public:
  Seeker(const std::vector<Sighting>& unused,
         const CameraModel& camera,
         const FlightOptions& options,
         double frame_s)
      : unused_(unused),
        camera_(camera),
        options_(options),
        frame_s_(frame_s) {}

  // The feed up to its bounce and what was found of its rest.
  std::optional<FoundFeed> whole(const FoundFeed& feed) const {
    FoundFeed grown = up_to_bounce(feed);
    if (!grown.fit.ok() || grown.fit.before < kFewestBefore) return {};
    const double end_s = grown.fit.parameters[kTimeOfBounce] + kLongest_s;
    double last_s = grown.sightings.back().t_s;
    auto next = first_after(last_s);
    while (next != unused_.end() && next->t_s < end_s &&
           next->t_s - std::max(last_s, grown.fit.parameters[kTimeOfBounce]) <
               std::max(kLongestUnseen_s, 3 * frame_s_)) {
      const auto frame_end = first_after(next->t_s + frame_s_ / 2);
      const auto nearest = nearest_of(next, frame_end, grown.fit);
      next = frame_end;
      if (nearest && take(*nearest, grown)) last_s = nearest->sighting.t_s;
    }
    if (!grown.well_seen()) return {};
    return grown;
  }

 private:
  using Place = std::vector<Sighting>::const_iterator;

  Place first_after(double t_s) const {
    return std::partition_point(
        unused_.begin(), unused_.end(), [&](const Sighting& s) {
          return s.t_s <= t_s;
        });
  }

  // What a track was led to after the bounce competes with all the others.
  FoundFeed up_to_bounce(const FoundFeed& feed) const {
    FoundFeed piece;
    if (feed.fit.before < kFewestBefore) return piece;
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      const Sighting& s = feed.sightings[i];
      if (feed.fit.used[i] != 0 && s.t_s < feed.fit.parameters[kTimeOfBounce]) {
        piece.sightings.push_back(s);
      }
    }
    piece.fit =
        refine_flight(piece.sightings, camera_, options_, feed.fit.parameters);
    return piece;
  }

  // Nothing where hardly anything is foretold, or the sighting lies elsewhere.
  std::optional<Candidate> candidate(const Sighting& s,
                                     const FlightFit& fit) const {
    const std::vector<Sighting> one{s};
    const std::vector<double> weight{1.0};
    const auto linear = linear_flight(
        FlightResiduals(one, camera_, options_, weight), fit.parameters);
    if (!linear) return std::nullopt;
    const auto by = linear->by.topRows<2>();
    const Eigen::Matrix2d foretold = by * fit.covariance * by.transpose();
    const double most_sd =
        kMostSd * std::max(camera_.width_px, camera_.height_px) / s.sigma_px;
    if (!(foretold.trace() < most_sd * most_sd)) return std::nullopt;
    const Eigen::Vector2d off = linear->value.head<2>();
    const Eigen::Matrix2d both = foretold + Eigen::Matrix2d::Identity();
    const Eigen::Vector2d told = both.inverse() * off;
    if (off.dot(told) > kGate2) return std::nullopt;
    return Candidate{s,
                     off.dot(told),
                     fit.parameters - fit.covariance * (by.transpose() * told)};
  }

  std::optional<Candidate> nearest_of(Place from,
                                      Place to,
                                      const FlightFit& fit) const {
    std::optional<Candidate> nearest;
    for (Place s = from; s != to; ++s) {
      const auto one = candidate(*s, fit);
      if (one && (!nearest || one->distance2 < nearest->distance2)) {
        nearest = one;
      }
    }
    return nearest;
  }

  bool take(const Candidate& one, FoundFeed& feed) const {
    FoundFeed more;
    more.sightings = feed.sightings;
    more.sightings.push_back(one.sighting);
    more.fit = refine_flight(more.sightings, camera_, options_, one.flight);
    if (!more.fit.ok() || more.fit.used.back() == 0) return false;
    feed = std::move(more);
    return true;
  }

  const std::vector<Sighting>& unused_;
  const CameraModel& camera_;
  const FlightOptions& options_;
  double frame_s_;
};

// A flight without them, and what it used of the others.
void leave_out(const std::vector<Sighting>& taken, FoundFeed& feed) {
  std::vector<Sighting> left;
  std::vector<char> used;
  for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
    if (is_among(feed.sightings[i], taken)) continue;
    left.push_back(feed.sightings[i]);
    if (i < feed.fit.used.size()) used.push_back(feed.fit.used[i]);
  }
  feed.sightings = std::move(left);
  feed.fit.used = std::move(used);
}

void leave_out(const std::vector<Sighting>& taken, std::vector<Track>& tracks) {
  constexpr std::size_t kFewest = 3;
  for (Track& track : tracks) {
    std::erase_if(track.sightings,
                  [&](const Sighting& s) { return is_among(s, taken); });
  }
  std::erase_if(tracks, [](const Track& track) {
    return track.sightings.size() < kFewest;
  });
}

}  // namespace

int find_foretold_rests(std::vector<FoundFeed>& found,
                        std::vector<Track>& strays,
                        const CameraModel& camera,
                        const FlightOptions& options) {
  const double frame_s = usual_frame_s(found);
  std::vector<char> gone(found.size(), 0);
  std::vector<Sighting> unused = unused_sightings(found, strays);
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (gone[i] || found[i].well_seen()) continue;
    auto whole = Seeker(unused, camera, options, frame_s).whole(found[i]);
    if (!whole) continue;
    leave_out(whole->sightings, strays);
    for (std::size_t k = 0; k < found.size(); ++k) {
      leave_out(whole->sightings, found[k].returned);
      if (k == i) continue;
      const std::size_t had = found[k].sightings.size();
      leave_out(whole->sightings, found[k]);
      const std::size_t left = found[k].sightings.size();
      if (left == had || found[k].well_seen()) continue;
      gone[k] = 2 * left < had;
      if (gone[k]) whole->take_returned_of(found[k]);
      found[k].fit = fit_flight(found[k].sightings, camera, options);
    }
    whole->take_returned_of(found[i]);
    found[i] = std::move(*whole);
    unused = unused_sightings(found, strays);
  }
  return drop_marked(found, gone);
}

}  // namespace evenfeed
