// SPDX-License-Identifier: MIT
#include "wear/forecast.h"

#include "stats/distributions.h"
#include "stats/inverse_prediction.h"
#include "stats/selected_interval.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr int kBandPoints = 13;

// Earliest and latest thousands of feeds since the service at which a movement
// of +-allowed is reached. A slope that may be of either sign may never get
// there; the earliest is then that of its steeper end.
struct Reach {
  double at = Forecast::kInfinity;
  double low = 0;
  double high = Forecast::kInfinity;
};

Reach reach_of(const SessionTrend& trend, double allowed, double confidence) {
  const Estimate& slope = trend.slope;
  Reach out;
  out.low = allowed / std::max(std::abs(slope.low), std::abs(slope.high));
  if (slope.value == 0) return out;
  const double t = student_t_quantile((1 + confidence) / 2, trend.degrees);
  const double target = slope.value > 0 ? allowed : -allowed;
  const FittedLine line{0, slope.value, 0, slope.error * slope.error, 0};
  const InversePrediction found = inverse_prediction(line, target, t);
  out.at = found.at;
  // The slope's interval may be wider: a step is allowed for.
  if (found.bounded && slope.low * slope.high > 0) {
    const double least = std::min(std::abs(slope.low), std::abs(slope.high));
    out.high = std::max(found.high, allowed / least);
  }
  const double z = std::abs(slope.value) / slope.error;
  if (trend.wears && z > trend.slope_limit) {
    const double least =
        slope.error *
        least_when_selected(
            z, trend.slope_limit, trend.degrees, (1 - confidence) / 2);
    const double high = least > 0 ? allowed / least : Forecast::kInfinity;
    out.high = std::max(out.high, high);
  }
  return out;
}

void fill_band(const SessionTrend& trend,
               const ForecastStart& start,
               double t,
               double horizon,
               Forecast& out) {
  const double session_variance =
      trend.between_sd * trend.between_sd + trend.own_sd * trend.own_sd;
  for (int i = 0; i < kBandPoints; ++i) {
    BandPoint point;
    const double ahead = horizon * i / (kBandPoints - 1);
    point.feeds = start.feeds_now + ahead;
    point.centre = start.level_now + trend.slope.value * ahead / 1000;
    const double from_centre = (point.feeds - start.centre_feeds) / 1000;
    const double variance =
        session_variance * (1 + 1.0 / start.level_sessions) +
        std::pow(trend.slope.error * from_centre, 2);
    point.low = point.centre - t * std::sqrt(variance);
    point.high = point.centre + t * std::sqrt(variance);
    out.band.push_back(point);
  }
}

}  // namespace

Forecast forecast(const SessionTrend& trend,
                  double allowed,
                  const ForecastStart& start,
                  double confidence) {
  Forecast out;
  if (!trend.ok || !std::isfinite(trend.slope.value)) return out;
  const double t = student_t_quantile((1 + confidence) / 2, trend.degrees);
  const double run = (start.feeds_now - start.feeds_at_service) / 1000;
  const Reach reach = reach_of(trend, allowed, confidence);
  const auto left = [run](double kilofeeds) {
    return std::max(0.0, 1000 * (kilofeeds - run));
  };
  out.allowed = allowed;
  out.less_than =
      std::max(std::abs(trend.slope.low), std::abs(trend.slope.high));
  out.moved = trend.slope.value * run;
  out.feeds_left = left(reach.at);
  out.feeds_low = left(reach.low);
  out.feeds_high = left(reach.high);
  out.feeds_per_session = start.feeds_per_session;
  // Far enough to see the limit come, not further than has been seen.
  const double horizon =
      std::clamp(1.2 * out.feeds_left,
                 4 * start.feeds_per_session,
                 std::max(start.feeds_now, 4 * start.feeds_per_session));
  fill_band(trend, start, t, horizon, out);
  out.ok = true;
  return out;
}

}  // namespace evenfeed
