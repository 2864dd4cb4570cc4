// SPDX-License-Identifier: MIT
#include "vision/streak_model.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

// One position of the disc, in the patch's own coordinates.
struct Disc {
  float u, v, radius, inverse_edge;
  float brightness, gradient_u, gradient_v, rim;
  float along;   // t of this position
  float weight;  // of this position in the sweep
};

struct Columns {
  float *value, *cover, *by_u, *by_v, *by_along_u, *by_along_v, *by_radius;
  float *by_gradient_u, *by_gradient_v, *by_rim;
};

// Adds the disc to `count` pixels of one row that starts at du = u0 - disc.u.
// The soft edge runs over (R^2 - r^2) / (2 R), which is R - r near the edge and
// needs no root. One loop over separate arrays, so that it runs several pixels
// at a time.
void add_row(const Disc& disc,
             float first_du,
             float dv,
             const float* __restrict background,
             int count,
             const Columns& out) {
  float* __restrict value = out.value;
  float* __restrict covers = out.cover;
  float* __restrict out_u = out.by_u;
  float* __restrict out_v = out.by_v;
  float* __restrict out_along_u = out.by_along_u;
  float* __restrict out_along_v = out.by_along_v;
  float* __restrict out_radius = out.by_radius;
  float* __restrict out_gradient_u = out.by_gradient_u;
  float* __restrict out_gradient_v = out.by_gradient_v;
  float* __restrict out_rim = out.by_rim;
  const Disc d = disc;
  const float inverse_radius = 1 / d.radius;
  const float ev = dv * inverse_radius;
  const float softness = 0.5F * d.radius * d.inverse_edge;
  const float steepness = 0.75F * d.weight * d.inverse_edge;
  for (int i = 0; i < count; ++i) {
    const float eu = (first_du + static_cast<float>(i)) * inverse_radius;
    const float e2 = eu * eu + ev * ev;
    const float raw = softness * (1 - e2);
    const float x = raw > 1 ? 1.0F : (raw < -1 ? -1.0F : raw);
    const float cover = d.weight * (0.5F + x * (0.75F - 0.25F * x * x));
    const float tilt = d.gradient_u * eu + d.gradient_v * ev;
    const float step =
        d.brightness + tilt + d.rim * (0.5F - e2) - background[i];
    const float edge = steepness * (1 - x * x) * step;
    const float inside = cover * inverse_radius;
    const float by_u = edge * eu - inside * (d.gradient_u - 2 * d.rim * eu);
    const float by_v = edge * ev - inside * (d.gradient_v - 2 * d.rim * ev);
    value[i] += cover * step;
    covers[i] += cover;
    out_u[i] += by_u;
    out_v[i] += by_v;
    out_along_u[i] += d.along * by_u;
    out_along_v[i] += d.along * by_v;
    out_radius[i] += edge * 0.5F * (1 + e2) - inside * (tilt - 2 * d.rim * e2);
    out_gradient_u[i] += cover * eu;
    out_gradient_v[i] += cover * ev;
    out_rim[i] += cover * (0.5F - e2);
  }
}

}  // namespace

StreakVector as_vector(const Streak& streak) {
  StreakVector vector;
  vector << streak.centre_px, streak.half_px, streak.radius_px,
      streak.brightness, streak.gradient, streak.rim;
  return vector;
}

Streak as_streak(const StreakVector& vector) {
  Streak streak;
  streak.centre_px = vector.segment<2>(0);
  streak.half_px = vector.segment<2>(2);
  streak.radius_px = vector(4);
  streak.brightness = vector(5);
  streak.gradient = vector.segment<2>(6);
  streak.rim = vector(8);
  return streak;
}

void StreakPicture::render(const StreakPatch& patch,
                           const Streak& streak,
                           double edge_px,
                           int steps) {
  const int columns = patch.expected.cols;
  const int rows = patch.expected.rows;
  value.setZero(columns * rows);
  cover.setZero(columns * rows);
  jacobian.setZero(columns * rows, kStreakParameters);
  Disc disc{};
  disc.radius = static_cast<float>(streak.radius_px);
  disc.inverse_edge = static_cast<float>(1 / edge_px);
  disc.brightness = static_cast<float>(streak.brightness);
  disc.gradient_u = static_cast<float>(streak.gradient.x());
  disc.gradient_v = static_cast<float>(streak.gradient.y());
  disc.rim = static_cast<float>(streak.rim);
  disc.weight = 1.0F / static_cast<float>(steps);
  // Positions in the middle of equal parts, spread so that their variance is
  // that of the even sweep, 1/3.
  const double spread = 1 / std::sqrt(1 - 1.0 / (steps * steps));
  const double reach =
      std::sqrt(streak.radius_px * (streak.radius_px + 2 * edge_px));
  for (int k = 0; k < steps; ++k) {
    const double along = spread * ((2.0 * k + 1) / steps - 1);
    const Eigen::Vector2d at = streak.centre_px + along * streak.half_px -
                               Eigen::Vector2d(patch.origin.x, patch.origin.y);
    disc.u = static_cast<float>(at.x());
    disc.v = static_cast<float>(at.y());
    disc.along = static_cast<float>(along);
    const int top = std::max(0, static_cast<int>(std::ceil(at.y() - reach)));
    const int bottom =
        std::min(rows - 1, static_cast<int>(std::floor(at.y() + reach)));
    for (int row = top; row <= bottom; ++row) {
      const double dv = row - at.y();
      const double half = std::sqrt(std::max(0.0, reach * reach - dv * dv));
      const int left = std::max(0, static_cast<int>(std::ceil(at.x() - half)));
      const int right =
          std::min(columns - 1, static_cast<int>(std::floor(at.x() + half)));
      if (left > right) continue;
      const long i = static_cast<long>(row) * columns + left;
      const auto column = [&](int c) { return jacobian.col(c).data() + i; };
      add_row(disc,
              static_cast<float>(left - at.x()),
              static_cast<float>(dv),
              patch.expected.ptr<float>(row) + left,
              right - left + 1,
              {value.data() + i,
               cover.data() + i,
               column(0),
               column(1),
               column(2),
               column(3),
               column(4),
               column(6),
               column(7),
               column(8)});
    }
  }
  jacobian.col(5) = cover;
  for (int row = 0; row < rows; ++row) {
    value.segment(static_cast<long>(row) * columns, columns) +=
        Eigen::Map<const Eigen::VectorXf>(patch.expected.ptr<float>(row),
                                          columns);
  }
}

}  // namespace evenfeed
