// SPDX-License-Identifier: MIT
#include "flight/track_builder.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

using Eigen::Vector2d;

// Velocity over the last step and, when there are three sightings, where the
// next one should be with the second difference carried on at half weight
// (noise in it is twice that of the velocity).
struct Forecast {
  Vector2d velocity_px_s;
  Vector2d point_px;
};

Forecast forecast(const Track& track, double t_s) {
  const auto& s = track.sightings;
  const std::size_t n = s.size();
  // Steps shorter than this are mostly noise: reach further back.
  std::size_t back = n - 2;
  while (back > 0 && s[n - 1].t_s - s[back].t_s < 0.012) --back;
  const double span = s[n - 1].t_s - s[back].t_s;
  const Vector2d velocity = (s[n - 1].centre_px - s[back].centre_px) / span;
  Vector2d bend = Vector2d::Zero();
  if (back > 0) {
    std::size_t first = back - 1;
    while (first > 0 && s[back].t_s - s[first].t_s < span * 0.9) --first;
    const double before_span = s[back].t_s - s[first].t_s;
    if (before_span > 0.5 * span) {
      const Vector2d before =
          (s[back].centre_px - s[first].centre_px) / before_span;
      bend = (velocity - before) / (0.5 * (span + before_span));
    }
  }
  const double dt = t_s - s[n - 1].t_s;
  const double reach = dt + span / 2;
  return {velocity,
          s[n - 1].centre_px + velocity * dt + 0.5 * bend * (reach * dt)};
}

bool same_sighting(const Sighting& a, const Sighting& b) {
  return a.t_s == b.t_s && a.centre_px == b.centre_px;
}

struct Match {
  double cost;
  std::size_t track;
  std::size_t sighting;
};

}  // namespace

void TrackOptions::check() const {
  require_positive(longest_gap_s, "longest_gap_s");
  require_in_range(longest_gap_frames, 1, 100, "longest_gap_frames");
  require_positive(fastest_px_per_s, "fastest_px_per_s");
  require_not_negative(slowest_px_per_s, "slowest_px_per_s");
  require_positive(gate_px, "gate_px");
  require_in_range(gate_per_step, 0.01, 1, "gate_per_step");
  require_in_range(gate_per_bounce, 0.01, 2, "gate_per_bounce");
}

double TrackBuilder::gap_s() const {
  return std::max(options_.longest_gap_s,
                  options_.longest_gap_frames * frame_step_s_);
}

std::vector<Track> TrackBuilder::add_frame(
    double t_frame_s, const std::vector<Sighting>& sightings) {
  const double step = t_frame_s - last_frame_s_;
  if (step > 0) {
    frame_step_s_ = frame_step_s_ > 0 ? 0.9 * frame_step_s_ + 0.1 * step : step;
  }
  last_frame_s_ = t_frame_s;
  std::vector<Sighting> free = sightings;
  prolong(free);
  start_new(t_frame_s, free);
  std::vector<Track> ended;
  std::erase_if(open_, [&](Track& track) {
    if (t_frame_s - track.end_s() <= gap_s()) return false;
    ended.push_back(std::move(track));
    return true;
  });
  return ended;
}

void TrackBuilder::prolong(std::vector<Sighting>& free) {
  std::vector<Match> matches;
  for (std::size_t t = 0; t < open_.size(); ++t) {
    const Track& track = open_[t];
    for (std::size_t k = 0; k < free.size(); ++k) {
      const double dt = free[k].t_s - track.end_s();
      if (dt <= 0) continue;
      const Forecast next = forecast(track, free[k].t_s);
      const Vector2d move =
          free[k].centre_px - track.sightings.back().centre_px;
      if (move.dot(next.velocity_px_s) <= 0) continue;
      // Only from one frame to the next may a bounce be between them.
      const double part = dt < 1.5 * frame_step_s_ ? options_.gate_per_bounce
                                                   : options_.gate_per_step;
      const double gate =
          options_.gate_px + part * next.velocity_px_s.norm() * dt;
      const double miss = (free[k].centre_px - next.point_px).norm();
      if (miss < gate) matches.push_back({miss / gate, t, k});
    }
  }
  std::sort(matches.begin(), matches.end(), [](const Match& a, const Match& b) {
    return a.cost < b.cost;
  });
  std::vector<char> track_done(open_.size(), 0);
  std::vector<char> taken(free.size(), 0);
  for (const Match& match : matches) {
    if (track_done[match.track] || taken[match.sighting]) continue;
    open_[match.track].sightings.push_back(free[match.sighting]);
    track_done[match.track] = taken[match.sighting] = 1;
  }
  std::size_t index = 0;
  std::erase_if(free, [&](const Sighting&) { return taken[index++] != 0; });
}

void TrackBuilder::start_new(double t_frame_s,
                             const std::vector<Sighting>& free) {
  const double oldest = t_frame_s - 3.5 * std::max(frame_step_s_, 1e-6);
  std::erase_if(loose_, [&](const Loose& l) { return l.t_frame_s < oldest; });
  for (const Sighting& c : free) {
    double best_cost = 1;
    Track best;
    for (const Loose& b : loose_) {
      for (const Loose& a : loose_) {
        const double dt1 = b.sighting.t_s - a.sighting.t_s;
        const double dt2 = c.t_s - b.sighting.t_s;
        if (dt1 <= 0 || dt2 <= 0 || dt1 > 2.5 * dt2 || dt2 > 2.5 * dt1) {
          continue;
        }
        const Vector2d v1 = (b.sighting.centre_px - a.sighting.centre_px) / dt1;
        const Vector2d v2 = (c.centre_px - b.sighting.centre_px) / dt2;
        const double speed = 0.5 * (v1 + v2).norm();
        if (speed < options_.slowest_px_per_s ||
            speed > options_.fastest_px_per_s) {
          continue;
        }
        const double gate =
            options_.gate_px + options_.gate_per_step * speed * dt2;
        const double cost = (v2 - v1).norm() * dt2 / gate;
        if (cost < best_cost) {
          best_cost = cost;
          best.sightings = {a.sighting, b.sighting, c};
        }
      }
    }
    if (best.sightings.empty()) {
      loose_.push_back({c, t_frame_s});
      continue;
    }
    std::erase_if(loose_, [&](const Loose& l) {
      return same_sighting(l.sighting, best.sightings[0]) ||
             same_sighting(l.sighting, best.sightings[1]);
    });
    open_.push_back(std::move(best));
  }
}

double TrackBuilder::open_since_s() const {
  double since_s = std::numeric_limits<double>::infinity();
  for (const Track& track : open_) since_s = std::min(since_s, track.start_s());
  return since_s;
}

std::vector<Track> TrackBuilder::finish() {
  std::vector<Track> ended = std::move(open_);
  open_.clear();
  loose_.clear();
  return ended;
}

}  // namespace evenfeed
