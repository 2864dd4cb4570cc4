// SPDX-License-Identifier: MIT
#include "pipeline/steady_frames.h"

#include "geometry/steady_view.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace evenfeed {
namespace {

constexpr std::size_t kNeighbours = 4;  // frames on either side
constexpr int kStays = 3;               // in so many of them: no ball in flight
constexpr double kSamePlace_px = 3;
// A knock is dated to half the time between two looks.
constexpr double kDated_s = 0.3;

void see_steadily(const SteadyView& view, std::vector<Sighting>& sightings) {
  for (Sighting& s : sightings) {
    const Eigen::Vector2d half = s.streak_px / 2;
    const Eigen::Vector2d one_end = view(s.centre_px - half);
    s.streak_px = view(s.centre_px + half) - one_end;
    s.centre_px = view(s.centre_px);
  }
}

bool seen_there(const std::vector<Sighting>& sightings,
                const Eigen::Vector2d& place_px) {
  return std::any_of(
      sightings.begin(), sightings.end(), [&](const Sighting& s) {
        return (s.centre_px - place_px).norm() < kSamePlace_px;
      });
}

}  // namespace

SteadyFrames::SteadyFrames(const CameraModel& calibrated,
                           double height_m,
                           double learning_s)
    : calibrated_(calibrated), height_m_(height_m), learning_s_(learning_s) {}

void SteadyFrames::take(WatchNews news) {
  std::move(
      news.stances.begin(), news.stances.end(), std::back_inserter(stances_));
  settled_until_s_ = news.settled_until_s;
}

void SteadyFrames::add(FrameSightings frame) {
  take(std::exchange(frame.news, {}));
  waiting_.push_back(std::move(frame));
}

void SteadyFrames::finish(WatchNews last) { take(std::move(last)); }

bool SteadyFrames::learning_at(double t_s) const {
  return std::any_of(
      stances_.begin(), stances_.end(), [&](const CameraStance& stance) {
        return stance.from_s > 0 && stance.moved_m >= kKnock_m &&
               t_s > stance.from_s - kDated_s &&
               t_s < stance.from_s + learning_s_ + kDated_s;
      });
}

void SteadyFrames::leave_out_what_stays(
    std::vector<Sighting>& sightings) const {
  std::erase_if(sightings, [&](const Sighting& s) {
    int count = 0;
    for (const auto& before : handed_on_) {
      count += seen_there(before, s.centre_px);
    }
    const std::size_t after = std::min(kNeighbours, waiting_.size());
    for (std::size_t i = 0; i < after; ++i) {
      count += seen_there(waiting_[i].sightings, s.centre_px);
    }
    return count >= kStays;
  });
}

std::vector<Sighting> SteadyFrames::at_once(
    std::vector<Sighting> sightings) const {
  if (!stances_.empty() && !sightings.empty()) {
    see_steadily(SteadyView(calibrated_, stances_.back().camera, height_m_),
                 sightings);
  }
  return sightings;
}

std::optional<FrameSightings> SteadyFrames::next() {
  if (waiting_.empty() || waiting_.front().t_s >= settled_until_s_) {
    return std::nullopt;
  }
  FrameSightings frame = std::move(waiting_.front());
  waiting_.pop_front();
  while (stance_ < stances_.size() && stances_[stance_].from_s <= frame.t_s) {
    ++stance_;
  }
  const std::vector<Sighting> as_seen = frame.sightings;
  if (learning_at(frame.t_s)) leave_out_what_stays(frame.sightings);
  if (stance_ > 0 && !frame.sightings.empty()) {
    see_steadily(
        SteadyView(calibrated_, stances_[stance_ - 1].camera, height_m_),
        frame.sightings);
  }
  handed_on_.push_back(as_seen);
  if (handed_on_.size() > kNeighbours) handed_on_.pop_front();
  return frame;
}

}  // namespace evenfeed
