// SPDX-License-Identifier: MIT
#include "detection/streak_model.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <opencv2/core.hpp>
#include <opencv2/core/hal/intrin.hpp>

namespace evenfeed {
namespace {

// The height of the sphere above its outline, as part of the radius, is held
// above the root of this, where its slope has no bound.
constexpr float kLeastHeight2 = 0.04F;

// Four neighbouring pixels at a time (OpenCV's portable vector type).
using Four = cv::v_float32x4;
constexpr int kFour = 4;
Four four(float value) { return cv::v_setall_f32(value); }

// The sweep in the patch's own coordinates.
struct Sweep {
  int steps = 0;
  double u = 0, v = 0;            // centre
  double half_u = 0, half_v = 0;  // half streak
  double half = 0;                // its length
  double spread = 1;              // see StreakPicture::render
  double reach = 0;               // the ball covers nothing farther out
  double along(int k) const { return spread * ((2.0 * k + 1) / steps - 1); }
};

// Sums over the sweep for four pixels; slopes by the place on the ball, e.
struct Sums {
  Four cover = four(0), by_eu = four(0), by_ev = four(0);
  Four along_eu = four(0), along_ev = four(0), radius = four(0);
  Four lamp_u = four(0), lamp_v = four(0), lamp_w = four(0);
  Four edge = four(0);
};

struct Ball4 {
  explicit Ball4(const Streak& streak, int steps)
      : inverse_radius(1 / static_cast<float>(streak.radius_px)),
        softness(0.5F * static_cast<float>(streak.radius_px / streak.edge_px)),
        inverse_edge(1 / static_cast<float>(streak.edge_px)),
        uu(static_cast<float>(streak.outline(0, 0))),
        uv(static_cast<float>(streak.outline(0, 1))),
        vv(static_cast<float>(streak.outline(1, 1))),
        weight(1 / static_cast<float>(steps)),
        ambient(static_cast<float>(streak.ambient)),
        lamp_u(static_cast<float>(streak.lamp.x())),
        lamp_v(static_cast<float>(streak.lamp.y())),
        lamp_w(static_cast<float>(streak.lamp.z())) {}
  float inverse_radius, softness, inverse_edge;
  float uu, uv, vv;  // outline
  float weight;
  float ambient, lamp_u, lamp_v, lamp_w;
};

// Adds one position of the ball: four pixels at (du, dv) from its centre. The
// soft edge runs over (R^2 - r^2) / (2 R), which is R - r near the edge and
// needs no root.
inline void add_disc(const Ball4& ball,
                     const Four& du,
                     float dv,
                     float along,
                     const Four& background,
                     Sums& sums) {
  const Four one = four(1);
  const Four eu = cv::v_muladd(du,
                               four(ball.uu * ball.inverse_radius),
                               four(dv * ball.uv * ball.inverse_radius));
  const Four ev = cv::v_muladd(du,
                               four(ball.uv * ball.inverse_radius),
                               four(dv * ball.vv * ball.inverse_radius));
  const Four e2 = cv::v_muladd(eu, eu, ev * ev);
  const Four x =
      cv::v_max(four(-1), cv::v_min(one, four(ball.softness) * (one - e2)));
  const Four xx = x * x;
  const Four cover =
      four(ball.weight) *
      cv::v_muladd(x, four(0.75F) - four(0.25F) * xx, four(0.5F));
  const Four height2 = one - e2;
  const Four height = cv::v_sqrt(cv::v_max(height2, four(kLeastHeight2)));
  const Four lamp = cv::v_muladd(
      four(ball.lamp_u),
      eu,
      cv::v_muladd(four(ball.lamp_v), ev, four(ball.lamp_w) * height));
  const Four slope =
      (four(-ball.lamp_w) / height) & (height2 > four(kLeastHeight2));
  const Four step = four(ball.ambient) + lamp - background;
  const Four edge =
      four(0.75F * ball.weight * ball.inverse_edge) * (one - xx) * step;
  const Four inside = cover * four(ball.inverse_radius);
  const Four by_eu =
      edge * eu - inside * cv::v_muladd(slope, eu, four(ball.lamp_u));
  const Four by_ev =
      edge * ev - inside * cv::v_muladd(slope, ev, four(ball.lamp_v));
  sums.cover = sums.cover + cover;
  sums.by_eu = sums.by_eu + by_eu;
  sums.by_ev = sums.by_ev + by_ev;
  sums.along_eu = cv::v_muladd(four(along), by_eu, sums.along_eu);
  sums.along_ev = cv::v_muladd(four(along), by_ev, sums.along_ev);
  const Four tilt = cv::v_muladd(four(ball.lamp_u), eu, four(ball.lamp_v) * ev);
  sums.radius = sums.radius + four(0.5F) * edge * (one + e2) -
                inside * cv::v_muladd(slope, e2, tilt);
  sums.lamp_u = cv::v_muladd(cover, eu, sums.lamp_u);
  sums.lamp_v = cv::v_muladd(cover, ev, sums.lamp_v);
  sums.lamp_w = cv::v_muladd(cover, height, sums.lamp_w);
  sums.edge = sums.edge - x * edge;
}

// What the ball adds to the background: its light less what it hides.
inline Four step_of(const Ball4& ball,
                    const Four& background,
                    const Sums& sums) {
  return cv::v_muladd(
      sums.cover,
      four(ball.ambient) - background,
      cv::v_muladd(sums.lamp_u,
                   four(ball.lamp_u),
                   cv::v_muladd(sums.lamp_v,
                                four(ball.lamp_v),
                                sums.lamp_w * four(ball.lamp_w))));
}

// The positions k = first .. last that may touch four pixels in a row whose
// middle lies (du, dv) from the centre of the sweep.
std::pair<int, int> positions_near(const Sweep& sweep, double du, double dv) {
  const double length = sweep.half;
  const double reach = sweep.reach + (kFour - 1) / 2.0;
  if (length < 1e-9) return {0, sweep.steps - 1};
  const double p = (du * sweep.half_u + dv * sweep.half_v) / length;
  const double q2 = du * du + dv * dv - p * p;
  if (q2 >= reach * reach) return {0, -1};
  const double half = std::sqrt(reach * reach - q2);
  const auto k_at = [&](double s) {  // along(k) * length = s
    return ((s / (length * sweep.spread) + 1) * sweep.steps - 1) / 2;
  };
  return {
      std::max(0, static_cast<int>(std::ceil(k_at(p - half)))),
      std::min(sweep.steps - 1, static_cast<int>(std::floor(k_at(p + half))))};
}

}  // namespace

double stretch(const Eigen::Matrix2d& outline) {
  // The smaller eigenvalue of a symmetric matrix.
  const double middle = outline.trace() / 2;
  const double half =
      std::hypot((outline(0, 0) - outline(1, 1)) / 2, outline(0, 1));
  return 1 / std::max(middle - half, 0.1);
}

int sweep_steps(const Streak& streak) {
  constexpr double kStepLength_px = 1.3;
  const double length_px = 2 * streak.half_px.norm();
  return std::clamp(
      static_cast<int>(std::ceil(length_px / kStepLength_px)) + 2, 4, 64);
}

StreakVector as_vector(const Streak& streak) {
  StreakVector vector;
  vector << streak.centre_px, streak.half_px, streak.radius_px, streak.ambient,
      streak.lamp, streak.edge_px;
  return vector;
}

Streak as_streak(const StreakVector& vector, const Eigen::Matrix2d& outline) {
  Streak streak;
  streak.outline = outline;
  streak.centre_px = vector.segment<2>(kStreakCentre);
  streak.half_px = vector.segment<2>(kStreakHalf);
  streak.radius_px = vector(kStreakRadius);
  streak.ambient = vector(kStreakAmbient);
  streak.lamp = vector.segment<3>(kStreakLamp);
  streak.edge_px = vector(kStreakEdge);
  return streak;
}

void StreakPicture::render(const StreakPatch& patch,
                           const Streak& streak,
                           int steps) {
  const int columns = patch.expected.cols;
  const int rows = patch.expected.rows;
  const long pixels = static_cast<long>(columns) * rows;
  value.resize(pixels);
  cover.setZero(pixels);
  jacobian.setZero(pixels, kStreakParameters);
  const Ball4 ball(streak, steps);
  Sweep sweep;
  sweep.steps = steps;
  sweep.u = streak.centre_px.x() - patch.origin.x;
  sweep.v = streak.centre_px.y() - patch.origin.y;
  sweep.half_u = streak.half_px.x();
  sweep.half_v = streak.half_px.y();
  sweep.half = streak.half_px.norm();
  // Positions in the middle of equal parts, spread so that their variance is
  // that of the even sweep, 1/3.
  sweep.spread = 1 / std::sqrt(1 - 1.0 / (steps * steps));
  sweep.reach =
      stretch(streak.outline) *
      std::sqrt(streak.radius_px * (streak.radius_px + 2 * streak.edge_px));
  const Four ramp(0, 1, 2, 3);
  int first_row = rows, last_row = -1;  // that the ball touches
  for (int row = 0; row < rows; ++row) {
    const float* expected = patch.expected.ptr<float>(row);
    for (int column = 0; column < columns; column += kFour) {
      // The last four of a row may overlap the four before.
      const int first = std::min(column, columns - kFour);
      const Four background = cv::v_load(expected + first);
      const long i = static_cast<long>(row) * columns + first;
      const double dv = row - sweep.v;
      const auto [low, high] =
          positions_near(sweep, first + (kFour - 1) / 2.0 - sweep.u, dv);
      Sums sums;
      for (int k = low; k <= high; ++k) {
        const double along = sweep.along(k);
        const double u0 = first - sweep.u - along * sweep.half_u;
        add_disc(ball,
                 four(static_cast<float>(u0)) + ramp,
                 static_cast<float>(dv - along * sweep.half_v),
                 static_cast<float>(along),
                 background,
                 sums);
      }
      if (low > high) {
        cv::v_store(value.data() + i, background);
        continue;
      }
      first_row = std::min(first_row, row);
      last_row = row;
      cv::v_store(value.data() + i,
                  background + step_of(ball, background, sums));
      const auto store = [&](int parameter, const Four& sum) {
        cv::v_store(jacobian.col(parameter).data() + i, sum);
      };
      cv::v_store(cover.data() + i, sums.cover);
      const auto store_place = [&](int parameter,
                                   const Four& eu,
                                   const Four& ev) {
        store(parameter, cv::v_muladd(four(ball.uu), eu, four(ball.uv) * ev));
        store(parameter + 1,
              cv::v_muladd(four(ball.uv), eu, four(ball.vv) * ev));
      };
      store_place(kStreakCentre, sums.by_eu, sums.by_ev);
      store_place(kStreakHalf, sums.along_eu, sums.along_ev);
      store(kStreakRadius, sums.radius);
      store(kStreakAmbient, sums.cover);
      store(kStreakLamp, sums.lamp_u);
      store(kStreakLamp + 1, sums.lamp_v);
      store(kStreakLamp + 2, sums.lamp_w);
      store(kStreakEdge, sums.edge);
    }
  }
  first = static_cast<long>(std::min(first_row, last_row + 1)) * columns;
  count = static_cast<long>(last_row + 1) * columns - first;
}

}  // namespace evenfeed
