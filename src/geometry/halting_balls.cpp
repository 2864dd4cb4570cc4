// SPDX-License-Identifier: MIT
#include "geometry/halting_balls.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace evenfeed {
namespace {

constexpr int kEnough = 12;        // that halted
constexpr int kLongestHalt = 4;    // pictures; what stays longer lies
constexpr std::size_t kMost = 40;  // in a picture: no balls, but the light
// Steps of one ball: nearly one direction, not much longer or shorter.
constexpr double kAhead = 0.97, kShorter = 0.3, kLonger = 3.5;
// What creeps on leaves its place when it is past `same`, whenever that is.
constexpr double kFar = 5;        // of `same`
constexpr double kUnequal = 1.4;  // times of two steps
constexpr double kAllowed = 3;    // times as many that say so

}  // namespace

void HaltingBalls::add(const std::vector<Eigen::Vector2d>& places, double t_s) {
  std::vector<Stay> next, left;
  if (places.size() <= kMost) {
    for (const Eigen::Vector2d& place : places) next.push_back({place, t_s});
  }
  for (const Stay& stay : now_) {
    const auto still =
        std::find_if(next.begin(), next.end(), [&](const Stay& one) {
          return (one.place - stay.place).norm() < same_;
        });
    if (still != next.end()) {
      still->pictures = std::max(still->pictures, stay.pictures + 1);
      still->since_s = stay.since_s;
      still->step = stay.step;
      still->step_s = stay.step_s;
      still->ahead = stay.ahead;
      continue;
    }
    if (stay.pictures > kLongestHalt) continue;
    ++(stay.pictures == 1 ? passed_ : halted_);
    left.push_back(stay);
  }
  for (Stay& stay : next) {
    if (stay.since_s == t_s) come_from(left, stay);
  }
  now_ = std::move(next);
}

// Which of those that left their places came here: the one that was going this
// way, else the nearest.
void HaltingBalls::come_from(const std::vector<Stay>& left, Stay& now) {
  const Stay* from = nullptr;
  bool ahead = false;
  for (const Stay& stay : left) {
    const Eigen::Vector2d step = now.place - stay.place;
    const double length = step.norm(), before = stay.step.norm();
    const bool goes_on =
        stay.step_s > 0 && step.dot(stay.step) > kAhead * length * before &&
        length > kShorter * before && length < kLonger * before;
    if (ahead && !goes_on) continue;
    if (goes_on && !ahead) from = nullptr;
    ahead = goes_on;
    if (from == nullptr || length < (now.place - from->place).norm()) {
      from = &stay;
    }
  }
  if (from == nullptr) return;
  now.step = now.place - from->place;
  now.step_s = now.since_s - from->since_s;
  now.ahead = ahead;
  const double far = kFar * same_;
  if (!ahead || now.step_s <= 0 || now.step.norm() < far ||
      from->step.norm() < far) {
    return;
  }
  const double longer = std::log(now.step_s / from->step_s);
  if (std::abs(longer) < std::log(kUnequal)) return;
  // Where it turned round it is seen at one place twice.
  if (longer < 0 && !from->ahead) return;
  const double further = std::log(now.step.norm() / from->step.norm());
  ++(std::abs(further) < std::abs(further - longer) ? alike_ : further_);
}

bool HaltingBalls::many() const {
  return halted_ >= kEnough && halted_ > passed_;
}

bool HaltingBalls::mistimed() const {
  return alike_ >= kEnough && alike_ > kAllowed * further_;
}

}  // namespace evenfeed
