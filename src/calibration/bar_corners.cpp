// SPDX-License-Identifier: MIT
#include "calibration/bar_corners.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace evenfeed {
namespace {

using Eigen::Vector2d;

constexpr double kReach = 0.3;   // of a bar's length, to a corner beyond it
constexpr double kSlack = 0.01;  // ... and of the picture's width
// Seen at a low angle, the middle of an end line is this far from its ends.
constexpr double kClearOfEnds = 0.2;

std::optional<Vector2d> crossing(const BrightBar& a, const BrightBar& b) {
  const Vector2d da = a.direction(), db = b.direction();
  const double turn = da.x() * db.y() - da.y() * db.x();
  if (std::abs(turn) < 0.05) return std::nullopt;  // under 3 degrees
  const Vector2d r = b.from_px - a.from_px;
  return a.from_px + (r.x() * db.y() - r.y() * db.x()) / turn * da;
}

// How far beyond (or short of) the bar's nearer end the point lies.
double from_nearer_end(const BrightBar& bar, const Vector2d& p) {
  return std::min((p - bar.from_px).norm(), (p - bar.to_px).norm());
}

bool ends_near(const BrightBar& bar, const Vector2d& p, double slack_px) {
  return from_nearer_end(bar, p) < slack_px + kReach * bar.length_px();
}

// Part of the bar's length, 0 at `from`.
double place_on(const BrightBar& bar, const Vector2d& p) {
  return bar.direction().dot(p - bar.from_px) / bar.length_px();
}

bool outside(const Vector2d& p, const cv::Size& size) {
  return p.x() < -0.5 || p.y() < -0.5 || p.x() > size.width - 0.5 ||
         p.y() > size.height - 0.5;
}

}  // namespace

BarCorners::BarCorners(const std::vector<BrightBar>& bars, const cv::Size& size)
    : n_(static_cast<int>(bars.size())),
      at_(n_ * n_),
      meet_(n_ * n_, 0),
      within_(n_ * n_, 0) {
  const double slack_px = kSlack * size.width;
  for (int i = 0; i < n_; ++i) {
    for (int j = 0; j < n_; ++j) {
      if (i == j) continue;
      const auto p = crossing(bars[i], bars[j]);
      if (!p) continue;
      at_[i * n_ + j] = *p;
      if (outside(*p, size)) {
        meet_[i * n_ + j] = std::abs(p->x()) < 3.0 * size.width &&
                            std::abs(p->y()) < 3.0 * size.height;
        continue;
      }
      const bool i_ends = ends_near(bars[i], *p, slack_px);
      meet_[i * n_ + j] = i_ends && ends_near(bars[j], *p, slack_px);
      const double on_i = place_on(bars[i], *p), on_j = place_on(bars[j], *p);
      within_[i * n_ + j] = (i_ends || (on_i > 0 && on_i < 1)) &&
                            on_j > kClearOfEnds && on_j < 1 - kClearOfEnds;
    }
  }
}

double covered_by(const BrightBar& bar,
                  const Vector2d& p,
                  const Vector2d& q,
                  const cv::Size& size) {
  constexpr int kSteps = 24;
  const Vector2d d = bar.direction();
  int inside = 0, on_bar = 0;
  for (int i = 0; i < kSteps; ++i) {
    const Vector2d at = p + (q - p) * (i + 0.5) / kSteps;
    if (at.x() < 0 || at.y() < 0 || at.x() > size.width - 1 ||
        at.y() > size.height - 1) {
      continue;
    }
    ++inside;
    const double along = d.dot(at - bar.from_px);
    if (along >= 0 && along <= bar.length_px()) ++on_bar;
  }
  return inside > 0 ? on_bar * bar.coverage / inside : 0;
}

}  // namespace evenfeed
