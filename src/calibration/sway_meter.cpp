// SPDX-License-Identifier: MIT
#include "calibration/sway_meter.h"

#include "stats/descriptive.h"

#include <cmath>

namespace evenfeed {
namespace {

// Mean of squares without those that are no part of a sway: of a sine none is
// above twice the median, of normal values one in a thousand above ten times.
double usual_square(const std::vector<double>& squares) {
  constexpr double kMost = 12;  // of the median
  const double most = kMost * median(squares);
  double sum = 0;
  int count = 0;
  for (const double square : squares) {
    if (square > most) continue;
    sum += square;
    ++count;
  }
  return sum / count;
}

}  // namespace

void SwayMeter::add(double t_s,
                    const Eigen::Vector2d& seen_px,
                    const Eigen::Vector2d& held_px,
                    double noise_px) {
  strays_px2_.push_back((seen_px - held_px).squaredNorm());
  noises_px2_.push_back(noise_px * noise_px);
  if (last_ && t_s > last_->t_s) {
    const Eigen::Vector2d between_px = (last_->seen_px + seen_px) / 2;
    strays_px2_.push_back((between_px - last_->held_px).squaredNorm());
    strays_px2_.push_back((between_px - held_px).squaredNorm());
    drifts_px2_s2_.push_back(
        ((seen_px - last_->seen_px) / (t_s - last_->t_s)).squaredNorm());
  }
  last_ = {t_s, seen_px, held_px};
}

CameraSway SwayMeter::sway() const {
  constexpr std::size_t kFewestLooks = 6;
  constexpr double kClearly = 2;  // times the variance of a look
  if (noises_px2_.size() < kFewestLooks || drifts_px2_s2_.empty()) return {};
  const double noise_px2 = median(noises_px2_);
  const double stray_px2 = usual_square(strays_px2_);
  if (!(stray_px2 > kClearly * noise_px2)) return {};
  return {std::sqrt((stray_px2 - noise_px2) / 2),
          std::sqrt(usual_square(drifts_px2_s2_) / 2)};
}

}  // namespace evenfeed
