// SPDX-License-Identifier: MIT
#include "geometry/halting_balls.h"

#include <algorithm>
#include <utility>

namespace evenfeed {
namespace {

constexpr int kEnough = 12;        // that halted
constexpr int kLongestHalt = 4;    // pictures; what stays longer lies
constexpr std::size_t kMost = 40;  // in a picture: no balls, but the light

}  // namespace

void HaltingBalls::add(const std::vector<Eigen::Vector2d>& places) {
  std::vector<Stay> next;
  if (places.size() <= kMost) {
    for (const Eigen::Vector2d& place : places) next.push_back({place});
  }
  for (const Stay& stay : now_) {
    const auto still =
        std::find_if(next.begin(), next.end(), [&](const Stay& one) {
          return (one.place - stay.place).norm() < same_;
        });
    if (still != next.end()) {
      still->pictures = std::max(still->pictures, stay.pictures + 1);
    } else if (stay.pictures == 1) {
      ++passed_;
    } else if (stay.pictures <= kLongestHalt) {
      ++halted_;
    }
  }
  now_ = std::move(next);
}

bool HaltingBalls::many() const {
  return halted_ >= kEnough && halted_ > passed_;
}

}  // namespace evenfeed
