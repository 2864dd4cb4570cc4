// SPDX-License-Identifier: MIT
#include "flight/feed_finder.h"

#include "base/check.h"
#include "flight/even_motion.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

namespace evenfeed {
namespace {

struct PlanMotion {
  double start_x_m = 0;
  double start_y_m = 0;
  double end_y_m = 0;
  double travel_x_m = 0;
  double speed_x_mps = 0;
};

PlanMotion plan_motion(std::span<const Sighting> sightings,
                       const CameraModel& camera) {
  PlanMotion motion;
  const auto first =
      camera.meet_plane(sightings.front().centre_px, kTypicalHeight_m);
  const auto last =
      camera.meet_plane(sightings.back().centre_px, kTypicalHeight_m);
  const double span = sightings.back().t_s - sightings.front().t_s;
  if (!first || !last || span <= 0) return motion;
  motion.start_x_m = first->x();
  motion.start_y_m = first->y();
  motion.end_y_m = last->y();
  motion.travel_x_m = last->x() - first->x();
  motion.speed_x_mps = motion.travel_x_m / span;
  return motion;
}

PlanMotion plan_motion(const Track& track, const CameraModel& camera) {
  return plan_motion(track.sightings, camera);
}

// A ball that flies on for long slows down, falls past the end and rolls: where
// two pieces of it meet, only what lies near tells how fast it was.
constexpr double kNear_s = 0.25;
constexpr std::ptrdiff_t kFewestAfter = 3;  // sightings off its flight end it
constexpr std::size_t kFewestOfTrack = 3;
constexpr std::size_t kFewestBroken = 4;  // specks that leap are seldom more

// In this long gravity bends an arc by 77 mm, which nothing that rolls does.
constexpr double kLongArc_s = 0.25;

// Both arcs are seen for long enough.
bool long_both_ways(const FlightFit& fit, const Track& track) {
  const double bounce_s = fit.parameters[kTimeOfBounce];
  const double first_s = track.sightings[fit.first_inlier()].t_s;
  return bounce_s - first_s >= kLongArc_s && fit.end_s - bounce_s >= kLongArc_s;
}

std::ptrdiff_t seen_after(double t_s, const Track& track) {
  return std::count_if(track.sightings.begin(),
                       track.sightings.end(),
                       [&](const Sighting& s) { return s.t_s > t_s; });
}

// What a feed takes from the launcher until it has bounced and met what stands
// at the end: slow ones, and others.
constexpr double kFlown_s[] = {1.2, 0.7};

std::span<const Sighting> last_part(const std::vector<Sighting>& sightings) {
  const auto from =
      std::find_if(sightings.begin(), sightings.end(), [&](const Sighting& s) {
        return s.t_s >= sightings.back().t_s - kNear_s;
      });
  return {from, sightings.end()};
}

std::span<const Sighting> first_part(const std::vector<Sighting>& sightings) {
  const auto to =
      std::find_if(sightings.begin(), sightings.end(), [&](const Sighting& s) {
        return s.t_s > sightings.front().t_s + kNear_s;
      });
  return {sightings.begin(), to};
}

// How far a ball seen here moves along the table when it is thought higher: per
// height. Where that is much, rise and fall look like a way along the table.
double slant(const Track& track, const CameraModel& camera) {
  const Eigen::Vector2d seen_px =
      track.sightings[track.sightings.size() / 2].centre_px;
  const auto low = camera.meet_plane(seen_px, 0);
  const auto high = camera.meet_plane(seen_px, kTypicalHeight_m);
  if (!low || !high) return 0;
  return std::abs(high->x() - low->x()) / kTypicalHeight_m;
}

// A ball that something sends back may go on in one track: slowly enough, the
// turn looks like any step. Cut where the way along the table turns for good.
std::vector<Track> cut_at_turn(Track track, const CameraModel& camera) {
  constexpr double kClearTurn_m = 0.15;
  std::vector<double> x_m;
  for (const Sighting& s : track.sightings) {
    const auto point = camera.meet_plane(s.centre_px, kTypicalHeight_m);
    x_m.push_back(point ? point->x() : 0);
  }
  const auto farthest = std::max_element(x_m.begin(), x_m.end());
  const auto from = static_cast<std::ptrdiff_t>(farthest - x_m.begin()) + 1;
  std::vector<Track> pieces;
  if (*farthest - x_m.front() > kClearTurn_m &&
      *farthest - x_m.back() > kClearTurn_m) {
    Track back;
    back.sightings.assign(track.sightings.begin() + from,
                          track.sightings.end());
    track.sightings.resize(static_cast<std::size_t>(from));
    pieces.push_back(std::move(back));
  }
  pieces.push_back(std::move(track));
  return pieces;
}

}  // namespace

int drop_marked(std::vector<FoundFeed>& found,
                const std::vector<char>& marked) {
  std::vector<FoundFeed> left;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (marked[i] == 0) left.push_back(std::move(found[i]));
  }
  found = std::move(left);
  return static_cast<int>(std::count(marked.begin(), marked.end(), 1));
}

void FinderOptions::check() const {
  require_positive(slowest_mps, "slowest_mps");
  require_positive(shortest_path_m, "shortest_path_m");
  require_in_range(lowest_descent_rad, 0, 1, "lowest_descent_rad");
  require_not_negative(join_gap_s, "join_gap_s");
  require_not_negative(settle_s, "settle_s");
  require_in_range(longest_wait_s, settle_s, 1e3, "longest_wait_s");
  require_not_negative(landing_margin_m, "landing_margin_m");
  require_in_range(used_share, 0, 1, "used_share");
  require_not_negative(least_sigma_px, "least_sigma_px");
}

FeedFinder::FeedFinder(const CameraModel& camera,
                       const Surface& surface,
                       const FlightOptions& flight,
                       const FinderOptions& options)
    : camera_(camera), surface_(surface), flight_(flight), options_(options) {
  options_.check();
}

void FeedFinder::add(std::vector<Track> tracks) {
  for (Track& track : tracks) {
    for (Track& piece : cut_at_turn(std::move(track), camera_)) {
      if (piece.sightings.size() >= kFewestOfTrack)
        waiting_.push_back(std::move(piece));
    }
  }
}

std::vector<FoundFeed> FeedFinder::advance(double now_s, double open_since_s) {
  const double unseen_s = std::min(now_s, open_since_s) - options_.join_gap_s;
  return take_until(
      std::min(now_s - options_.settle_s,
               std::max(unseen_s, now_s - options_.longest_wait_s)));
}

std::vector<FoundFeed> FeedFinder::finish() {
  return take_until(std::numeric_limits<double>::infinity());
}

void FeedFinder::forget() {
  waiting_.clear();
  returns_.clear();
  strays_.clear();
  last_feed_end_s_ = kLongAgo_s;
  counts_ = {};
}

std::vector<FoundFeed> FeedFinder::take_until(double last_end_s) {
  std::sort(
      waiting_.begin(), waiting_.end(), [](const Track& a, const Track& b) {
        return a.start_s() < b.start_s();
      });
  std::vector<FoundFeed> found;
  while (true) {
    const auto next =
        std::find_if(waiting_.begin(), waiting_.end(), [&](const Track& t) {
          return t.end_s() <= last_end_s;
        });
    if (next == waiting_.end()) return found;
    Track track = std::move(*next);
    waiting_.erase(next);
    join_pieces(track);
    FoundFeed feed;
    switch (explain_at_length(track, feed.fit)) {
      case Kind::kFeed:
      case Kind::kBrokenFeed:
        ++counts_.feeds;
        last_feed_end_s_ = track.end_s();
        feed.sightings = std::move(track.sightings);
        found.push_back(std::move(feed));
        break;
      case Kind::kReturn:
        ++counts_.returns;
        returns_.push_back(std::move(track));
        break;
      case Kind::kStray:
        ++counts_.strays;
        keep_stray(std::move(track));
        break;
    }
  }
}

std::optional<FoundFeed> FeedFinder::look(const Track& track) const {
  for (Track& piece : cut_at_turn(track, camera_)) {
    if (piece.sightings.size() < kFewestOfTrack) continue;
    FoundFeed feed;
    if (explain_at_length(piece, feed.fit) != Kind::kFeed) continue;
    feed.sightings = std::move(piece.sightings);
    return feed;
  }
  return std::nullopt;
}

// Walking people and noise make strays without end: the oldest go.
void FeedFinder::keep_stray(Track track) {
  constexpr std::size_t kMost = 20000;
  if (strays_.size() >= kMost)
    strays_.erase(strays_.begin(), strays_.begin() + kMost / 2);
  strays_.push_back(std::move(track));
}

// Net, lines and glare hide a ball for a few frames: a later piece that carries
// on where the track was going, at about its speed, belongs to the same ball.
void FeedFinder::join_pieces(Track& track) {
  constexpr double kSlower = 0.4, kFaster = 2;
  // What a bounce changes of rise and fall looks like a change along the table.
  constexpr double kTurned_mps = 6;
  constexpr double kMostSlant = 0.7;
  while (true) {
    const PlanMotion motion = plan_motion(last_part(track.sightings), camera_);
    if (std::abs(motion.speed_x_mps) < options_.slowest_mps / 2) return;
    const double bounce_mps =
        kTurned_mps * std::min(kMostSlant, slant(track, camera_));
    const auto carries_on = [&](const Track& other) {
      const double gap_s = other.start_s() - track.end_s();
      if (gap_s <= 0 || gap_s > options_.join_gap_s) return false;
      const PlanMotion piece =
          plan_motion(first_part(other.sightings), camera_);
      const double speed_mps = std::abs(motion.speed_x_mps);
      const double same_way_mps =
          piece.speed_x_mps * (motion.speed_x_mps < 0 ? -1 : 1);
      if (same_way_mps <= 0 ||
          same_way_mps < kSlower * speed_mps - bounce_mps ||
          same_way_mps > kFaster * speed_mps + bounce_mps) {
        return false;
      }
      const double reach_m = motion.speed_x_mps * gap_s;
      const double step_m =
          piece.start_x_m - motion.start_x_m - motion.travel_x_m;
      const double way_m = std::abs(reach_m);
      return std::abs(step_m - reach_m) < 0.1 + 0.5 * way_m &&
             std::abs(piece.start_y_m - motion.end_y_m) < 0.1 + 0.3 * way_m;
    };
    const auto it = std::find_if(waiting_.begin(), waiting_.end(), carries_on);
    if (it == waiting_.end()) return;
    track.sightings.insert(
        track.sightings.end(), it->sightings.begin(), it->sightings.end());
    waiting_.erase(it);
  }
}

// The first arc, carried back to the launcher's end of the table, is above
// the table there. (The arc before a second bounce starts at the first one.)
bool FeedFinder::comes_from_launcher(const FlightFit& fit) const {
  const FlightVector& p = fit.parameters;
  const double to_end_m = p[kBounceX] + 0.9 * surface_.length_m / 2;
  if (p[kVelocityIn] <= 0) return false;
  const double dt = to_end_m / p[kVelocityIn];  // drag makes it a little less
  if (dt <= 0) return false;
  const auto state =
      flight_state(p, flight_, Arc::kIn, p[kTimeOfBounce] - 0.9 * dt);
  return state.x_m.z() > flight_.ball.radius_m;
}

bool FeedFinder::lands_like_a_feed(const FlightFit& fit,
                                   const Track& track) const {
  const FlightVector& p = fit.parameters;
  const Eigen::Vector3d v = p.segment<3>(kVelocityIn);
  const double descent = std::atan2(-v.z(), v.head<2>().norm());
  return v.x() >= options_.slowest_mps && v.norm() <= flight_.fastest_mps &&
         descent >= options_.lowest_descent_rad &&
         used_share(fit, track.sightings) >= options_.used_share &&
         surface_.contains({p[kBounceX], p[kBounceY]},
                           options_.landing_margin_m);
}

FlightFit FeedFinder::cautious_fit(const Track& track) const {
  std::vector<Sighting> cautious = track.sightings;
  for (Sighting& s : cautious) {
    s.sigma_px = std::max(s.sigma_px, options_.least_sigma_px);
  }
  return fit_flight(cautious, camera_, flight_);
}

bool FeedFinder::is_feed(const FlightFit& fit, const Track& track) const {
  // Nearly any few specks lie on some flight that lands somewhere.
  constexpr int kFewestUnseen = 6;
  if (!fit.ok() || !comes_from_launcher(fit)) return false;
  if (!fit.bounce_seen() && fit.inliers() < kFewestUnseen) return false;
  return lands_like_a_feed(fit, track);
}

// By the flight itself, where its way in the picture does not tell.
bool FeedFinder::surely_forwards(const FlightFit& fit,
                                 const Track& track) const {
  constexpr double kSigmas = 3;
  const double span_s = std::min(fit.end_s, track.end_s()) -
                        track.sightings[fit.first_inlier()].t_s;
  const double way_m = fit.parameters[kVelocityIn] * span_s;
  const double sd_m =
      std::sqrt(fit.covariance(kVelocityIn, kVelocityIn)) * span_s;
  return way_m > options_.shortest_path_m + kSigmas * sd_m;
}

bool FeedFinder::follows_feed(const Track& track) const {
  return track.start_s() - last_feed_end_s_ < options_.settle_s;
}

// A ball that rolls on for long outweighs its flight: where the whole is no
// feed, its beginning may be, if the flight is seen to have ended in it (any
// short piece looks like a flight) or is no short piece: a lob that hardly
// moves on after its bounce is in the air again for longer than that. What
// follows is left out for good.
FeedFinder::Kind FeedFinder::explain_at_length(Track& track,
                                               FlightFit& fit) const {
  const Kind kind = explain(track, fit);
  if (kind == Kind::kFeed || kind == Kind::kReturn) return kind;
  for (const double flown_s : kFlown_s) {
    Track beginning = track;
    std::erase_if(beginning.sightings, [&](const Sighting& s) {
      return s.t_s > track.start_s() + flown_s;
    });
    if (beginning.sightings.size() == track.sightings.size()) continue;
    FlightFit begun;
    if (explain(beginning, begun) != Kind::kFeed || !begun.bounce_seen() ||
        (seen_after(begun.end_s, beginning) < kFewestAfter &&
         !long_both_ways(begun, beginning))) {
      continue;
    }
    fit = std::move(begun);
    track = std::move(beginning);
    return Kind::kFeed;
  }
  return kind;
}

FeedFinder::Kind FeedFinder::explain(const Track& track, FlightFit& fit) const {
  constexpr double kMuch = 0.7;
  const PlanMotion motion = plan_motion(track, camera_);
  const bool slanted =
      slant(track, camera_) > kMuch && moves_evenly(track.sightings);
  if (slanted) {
    fit = cautious_fit(track);
    if (is_feed(fit, track) && surely_forwards(fit, track)) return Kind::kFeed;
    if (fit.ok() && fit.parameters[kVelocityIn] < 0 && follows_feed(track)) {
      return Kind::kReturn;
    }
  }
  if (motion.speed_x_mps <= -options_.slowest_mps / 2 && follows_feed(track)) {
    return Kind::kReturn;
  }
  if (motion.speed_x_mps < options_.slowest_mps ||
      motion.travel_x_m < options_.shortest_path_m) {
    return Kind::kStray;
  }
  if (!slanted) fit = cautious_fit(track);
  if (is_feed(fit, track)) return Kind::kFeed;
  // Fast, along the table and most of the way: a feed that went wrong, if it is
  // one ball. Specks that a track was led along leap.
  const bool certain =
      track.sightings.size() >= kFewestBroken && motion.start_x_m < 0 &&
      motion.travel_x_m > 0.4 * surface_.length_m &&
      motion.speed_x_mps > 2 * options_.slowest_mps &&
      motion.speed_x_mps < flight_.fastest_mps && moves_evenly(track.sightings);
  if (!certain) return Kind::kStray;
  if (fit.ok()) {
    fit.status = FitStatus::kPoorFit;
    fit.message = "the sightings do not follow a flight with one bounce";
  }
  return Kind::kBrokenFeed;
}

}  // namespace evenfeed
