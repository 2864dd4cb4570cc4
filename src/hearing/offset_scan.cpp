// SPDX-License-Identifier: MIT
#include "hearing/offset_scan.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

constexpr double kSmear_s = 4e-3;
constexpr double kStep_s = 2e-3;
constexpr double kHeard = 0.7;
constexpr std::size_t kMostEvents = 400;  // of a long film, evenly chosen
constexpr double kBlurred_s = 0.015;      // too uncertain to be of help
constexpr double kApart_s = 0.015;
constexpr std::size_t kPlaces = 6;

// ln(1 - h + h D(t) / rate) on a grid of times.
class ScoreOverTime {
 public:
  ScoreOverTime(const std::vector<Tick>& ticks, double from_s, double until_s)
      : from_s_(from_s),
        score_(static_cast<std::size_t>((until_s - from_s) / kStep_s) + 2,
               0.0F) {
    const double rate_hz =
        std::max(0.2, static_cast<double>(ticks.size()) / (until_s - from_s));
    const auto reach = static_cast<long long>(5 * kSmear_s / kStep_s);
    for (const Tick& tick : ticks) {
      const long long at = std::llround((tick.t_s - from_s_) / kStep_s);
      for (long long i = at - reach; i <= at + reach; ++i) {
        if (i < 0 || i >= static_cast<long long>(score_.size())) continue;
        const double z =
            (from_s_ + static_cast<double>(i) * kStep_s - tick.t_s) / kSmear_s;
        score_[static_cast<std::size_t>(i)] += static_cast<float>(
            std::exp(-z * z / 2) /
            (kSmear_s * std::sqrt(2 * std::numbers::pi) * rate_hz));
      }
    }
    for (float& score : score_) {
      score = static_cast<float>(std::log(1 - kHeard + kHeard * score));
    }
  }

  double at(double t_s) const {
    const double place = (t_s - from_s_) / kStep_s + 0.5;
    if (!(place >= 0) || place >= static_cast<double>(score_.size())) return 0;
    return score_[static_cast<std::size_t>(place)];
  }

 private:
  double from_s_;
  std::vector<float> score_;
};

std::vector<double> heard_times_s(const std::vector<ExpectedTick>& expected,
                                  double speed_mps) {
  std::vector<double> sharp_s;
  for (const ExpectedTick& one : expected) {
    if (one.sigma_s > kBlurred_s) continue;
    sharp_s.push_back(one.t_s + one.distance_m / speed_mps);
  }
  if (sharp_s.size() <= kMostEvents) return sharp_s;
  std::vector<double> chosen_s;
  for (std::size_t i = 0; i < kMostEvents; ++i) {
    chosen_s.push_back(sharp_s[i * sharp_s.size() / kMostEvents]);
  }
  return chosen_s;
}

struct Place {
  double score = 0;
  double offset_s = 0;
  double drift = 0;
};

double square(double x) { return x * x; }

}  // namespace

OffsetScan scan_offsets(const std::vector<ExpectedTick>& expected,
                        const std::vector<Tick>& ticks,
                        const HearingOptions& options) {
  OffsetScan scan;
  const std::vector<double> times_s =
      heard_times_s(expected, options.speed_of_sound_mps);
  if (times_s.empty() || ticks.empty()) return scan;
  const auto [first, last] =
      std::minmax_element(times_s.begin(), times_s.end());
  const double middle_s = (*first + *last) / 2;
  const double half_s = (*last - *first) / 2;
  const double reach_s =
      options.most_offset_s + options.most_drift * half_s + 1;
  const ScoreOverTime score(ticks, *first - reach_s, *last + reach_s);
  // So fine that the ends of the film move by less than the smear.
  const int drifts = static_cast<int>(
      std::ceil(options.most_drift * half_s / (0.7 * kSmear_s)));
  const int offsets =
      static_cast<int>(std::floor(options.most_offset_s / kStep_s));
  std::vector<Place> best;  // of each offset, over the drifts
  for (int o = -offsets; o <= offsets; ++o) {
    Place of_offset{-1e300, o * kStep_s, 0};
    for (int d = -drifts; d <= drifts; ++d) {
      const double drift = drifts > 0 ? options.most_drift * d / drifts : 0;
      double sum = -square(of_offset.offset_s / options.offset_sd_s) / 2 -
                   square(drift / options.drift_sd) / 2;
      for (const double t_s : times_s) {
        sum += score.at(t_s + of_offset.offset_s + drift * (t_s - middle_s));
      }
      if (sum > of_offset.score) of_offset = {sum, of_offset.offset_s, drift};
    }
    best.push_back(of_offset);
  }
  scan.tried = static_cast<double>(best.size()) * (2 * drifts + 1);
  std::sort(best.begin(), best.end(), [](const Place& a, const Place& b) {
    return a.score > b.score;
  });
  for (const Place& place : best) {
    const bool apart = std::all_of(
        scan.places.begin(), scan.places.end(), [&](const SoundClock& other) {
          return std::abs(other.offset_s - place.offset_s) > kApart_s;
        });
    if (!apart) continue;
    SoundClock clock;
    clock.middle_s = middle_s;
    clock.offset_s = place.offset_s;
    clock.drift = place.drift;
    scan.places.push_back(clock);
    if (scan.places.size() == kPlaces) break;
  }
  return scan;
}

}  // namespace evenfeed
