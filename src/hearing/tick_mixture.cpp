// SPDX-License-Identifier: MIT
#include "hearing/tick_mixture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

constexpr double kGate = 6;      // sigmas beyond which nothing is likely
constexpr double kAround_s = 1;  // within which the rate is counted
constexpr double kLeastRate_hz = 0.2;
constexpr double kMostHeard = 0.98;  // nobody hears everything
constexpr double kLeastHeard = 0.02;
constexpr double kFirstHeard = 0.7;
// The sigmas begin wide and become what they are.
constexpr std::array kWidening_s{
    5e-3, 5e-3, 2e-3, 1e-3, 5e-4, 0., 0., 0., 0., 0., 0., 0.};
constexpr double kFewestAlike = 10;  // fewer do not tell what they are like
constexpr double kMostLikeness = 20;
constexpr double kUnlike = 0.05;  // a share that is like anything

constexpr int kFeatures = 3;
using Features = std::array<double, kFeatures>;

Features features_of(const Tick& tick) {
  constexpr double kLeast = 0.02;  // a share in the noise
  const auto ratio = [&](int band) {
    return std::log((tick.band_share[static_cast<std::size_t>(band)] + kLeast) /
                    (tick.band_share[1] + kLeast));
  };
  return {tick.strength_db, ratio(0), ratio(2)};
}

struct Manner {
  Features mean{}, sd{};
  double log_density(const Features& x) const {
    double sum = 0;
    for (int k = 0; k < kFeatures; ++k) {
      const double z = (x[k] - mean[k]) / sd[k];
      sum -= z * z / 2 + std::log(sd[k]);
    }
    return sum;
  }
};

Manner manner_of(const std::vector<Features>& features,
                 const std::vector<double>& weights,
                 const Features& least_sd) {
  Manner manner;
  for (int k = 0; k < kFeatures; ++k) {
    double sum = 0;
    double first = 0;
    double second = 0;
    for (std::size_t j = 0; j < features.size(); ++j) {
      sum += weights[j];
      first += weights[j] * features[j][k];
      second += weights[j] * features[j][k] * features[j][k];
    }
    manner.mean[k] = first / sum;
    manner.sd[k] =
        std::max(least_sd[k],
                 std::sqrt(std::max(
                     0.0, second / sum - manner.mean[k] * manner.mean[k])));
  }
  return manner;
}

class Matcher {
 public:
  Matcher(const std::vector<ExpectedTick>& expected,
          const std::vector<Tick>& ticks,
          const HearingOptions& options)
      : expected_(expected),
        ticks_(ticks),
        options_(options),
        taken_(ticks.size(), 0.0) {
    for (const Tick& tick : ticks) features_.push_back(features_of(tick));
    mixture_.share_heard = kFirstHeard;
    mixture_.claims.resize(expected.size());
    mixture_.likeness.assign(ticks.size(), 1.0);
  }

  TickMixture run(const SoundClock& start, bool move) {
    mixture_.clock = start;
    for (const double widening_s : kWidening_s) {
      expect(move ? widening_s : 0);
      if (move) move_clock();
      learn_manner();
    }
    constexpr int kSettle = 3;  // rounds, for the share heard
    for (int i = 0; i < kSettle; ++i) expect(0, 2);
    const double wide = mixture_.gain;
    for (int i = 0; i < kSettle; ++i) expect(0);
    mixture_.gain_of_twice = wide - mixture_.gain;
    return std::move(mixture_);
  }

 private:
  struct Pair {
    std::size_t tick = 0;
    double t_s = 0;  ///< of what was expected
    double off_s = 0;
    double variance_s2 = 0;
    double probability = 0;
  };

  double travel_s(const ExpectedTick& one) const {
    return one.distance_m / options_.speed_of_sound_mps;
  }

  std::size_t first_tick_after(double t_s) const {
    return static_cast<std::size_t>(
        std::lower_bound(
            ticks_.begin(),
            ticks_.end(),
            t_s,
            [](const Tick& tick, double t) { return tick.t_s < t; }) -
        ticks_.begin());
  }

  double rate_hz(double heard_s) const {
    const std::size_t from = first_tick_after(heard_s - kAround_s);
    double others = 0.5;
    for (std::size_t j = from;
         j < ticks_.size() && ticks_[j].t_s < heard_s + kAround_s;
         ++j) {
      others += 1 - taken_[j];
    }
    return std::max(kLeastRate_hz, others / (2 * kAround_s));
  }

  // The probabilities, for the clock and manners as they stand.
  // `scale` times the stated sigmas.
  void expect(double widening_s, double scale = 1) {
    pairs_.clear();
    std::vector<double> taken(ticks_.size(), 0.0);
    double heard = 1;  // one feed heard of two, before any is seen
    mixture_.gain = -belief_cost();
    for (std::size_t i = 0; i < expected_.size(); ++i) {
      heard += expect_one(i, widening_s, scale, taken);
    }
    taken_ = std::move(taken);
    mixture_.share_heard =
        std::clamp(heard / (static_cast<double>(expected_.size()) + 2),
                   kLeastHeard,
                   kMostHeard);
  }

  double expect_one(std::size_t i,
                    double widening_s,
                    double scale,
                    std::vector<double>& taken) {
    const ExpectedTick& one = expected_[i];
    const double at_s = mixture_.clock.heard_s(one.t_s, travel_s(one));
    const double h = mixture_.share_heard;
    const double rate = rate_hz(at_s);
    // No tick is known better than its finder can.
    constexpr double kCoarsest_s = 1e-3;
    const double reach_s =
        kGate * std::hypot(one.sigma_s, kCoarsest_s, widening_s) * scale;
    const std::size_t first_pair = pairs_.size();
    double sum = 1 - h;
    double by_time = 1 - h;  // a likeness learnt from chance proves nothing
    for (std::size_t j = first_tick_after(at_s - reach_s);
         j < ticks_.size() && ticks_[j].t_s < at_s + reach_s;
         ++j) {
      const double sigma_s =
          scale * std::hypot(one.sigma_s, ticks_[j].sigma_s, widening_s);
      const double variance = sigma_s * sigma_s;
      const double off_s = ticks_[j].t_s - at_s;
      const double timely = h / rate *
                            std::exp(-off_s * off_s / (2 * variance)) /
                            std::sqrt(2 * std::numbers::pi * variance);
      const double w = timely * mixture_.likeness[j];
      by_time += timely;
      pairs_.push_back({j, one.t_s, off_s, variance, w});
      sum += w;
    }
    mixture_.gain += std::log(by_time);
    Claim& claim = mixture_.claims[i];
    claim = {};
    for (std::size_t k = first_pair; k < pairs_.size(); ++k) {
      Pair& pair = pairs_[k];
      pair.probability /= sum;
      taken[pair.tick] = std::min(1.0, taken[pair.tick] + pair.probability);
      if (claim.tick < 0 || pair.probability > claim.probability) {
        claim = {static_cast<int>(pair.tick),
                 pair.probability,
                 pair.off_s,
                 std::sqrt(pair.variance_s2)};
      }
    }
    return 1 - (1 - h) / sum;
  }

  double belief_cost() const {
    const double offset = mixture_.clock.offset_s / options_.offset_sd_s;
    const double drift = mixture_.clock.drift / options_.drift_sd;
    return (offset * offset + drift * drift) / 2;
  }

  void move_clock() {
    SoundClock& clock = mixture_.clock;
    Eigen::Matrix2d information = Eigen::Matrix2d::Zero();
    information(0, 0) = 1 / (options_.offset_sd_s * options_.offset_sd_s);
    information(1, 1) = 1 / (options_.drift_sd * options_.drift_sd);
    Eigen::Vector2d pull(-information(0, 0) * clock.offset_s,
                         -information(1, 1) * clock.drift);
    double chi2 = 0;
    double count = 0;
    for (const Pair& pair : pairs_) {
      const Eigen::Vector2d slope(1, pair.t_s - clock.middle_s);
      const double weight = pair.probability / pair.variance_s2;
      information += weight * slope * slope.transpose();
      pull += weight * pair.off_s * slope;
      chi2 += weight * pair.off_s * pair.off_s;
      count += pair.probability;
    }
    const Eigen::Matrix2d covariance = information.inverse();
    const Eigen::Vector2d step = covariance * pull;
    clock.offset_s += step[0];
    clock.drift += step[1];
    // Sigmas that were stated too small are not believed here either.
    const double scatter = count > 3 ? std::max(1.0, chi2 / (count - 2)) : 1;
    clock.covariance = covariance * scatter;
  }

  void learn_manner() {
    double alike = 0;
    double others = 0;
    std::vector<double> left;
    for (const double taken : taken_) {
      alike += taken;
      left.push_back(1 - taken);
      others += 1 - taken;
    }
    if (alike < kFewestAlike || others < kFewestAlike) return;
    const Manner ours = manner_of(features_, taken_, {2, 0.3, 0.3});
    const Manner theirs = manner_of(features_, left, {4, 0.6, 0.6});
    for (std::size_t j = 0; j < ticks_.size(); ++j) {
      const double more = std::exp(std::min(
          50.0,
          ours.log_density(features_[j]) - theirs.log_density(features_[j])));
      mixture_.likeness[j] =
          std::min(kMostLikeness, kUnlike + (1 - kUnlike) * more);
    }
  }

  const std::vector<ExpectedTick>& expected_;
  const std::vector<Tick>& ticks_;
  const HearingOptions& options_;
  std::vector<Features> features_;
  std::vector<double> taken_;  ///< probability that it was expected
  std::vector<Pair> pairs_;
  TickMixture mixture_;
};

}  // namespace

TickMixture match_ticks(const std::vector<ExpectedTick>& expected,
                        const std::vector<Tick>& ticks,
                        const SoundClock& start,
                        const HearingOptions& options) {
  return Matcher(expected, ticks, options).run(start, true);
}

TickMixture match_ticks_by(const SoundClock& clock,
                           const std::vector<ExpectedTick>& expected,
                           const std::vector<Tick>& ticks,
                           const HearingOptions& options) {
  return Matcher(expected, ticks, options).run(clock, false);
}

}  // namespace evenfeed
