// SPDX-License-Identifier: MIT
#include "sound/tick_finder.h"

#include "base/check.h"
#include "sound/onset_time.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

namespace evenfeed {
namespace {

constexpr double kAbove_hz = 1500;
constexpr double kLowBand_hz = 3000;
constexpr double kHighBand_hz = 7500;
constexpr double kFast_s = 2.5e-4;
constexpr double kRecent_s = 0.01;
constexpr double kHall_s = 0.3;
constexpr double kBand_s = 1e-3;
constexpr double kDelay_s = 1e-3;
// A single sample counts for the hall's level as no more than this.
constexpr double kClip = 8;
constexpr double kSettle_s = 0.05;  // after a gap, until the hall is known
constexpr double kLookBack_s = 5e-3;
// Nothing louder may follow within this: a coder smears a click over as much.
constexpr double kLoudestWithin_s = 5e-3;
// Louder still within this, and it is the same tick: what came first was the
// coder's smear of it.
constexpr double kLongestRise_s = 0.012;
constexpr double kHistory_s = kLookBack_s + kLongestRise_s + kLoudestWithin_s;
// Of a click's loudest moment: what AAC smears ahead of it lies 12 to 40 dB
// below (measured on FFmpeg's coder at 70 to 160 kbit/s).
constexpr double kSmear = 0.1;
// -100 dB below full scale: the steps of 16 bits.
constexpr double kLeastEnergy = 1e-10;
// A filtered sound that a coder cut at 16 of 24 kHz: what one sample adds.
constexpr double kIndependent = 0.5;

double corner(double hz, double rate_hz) {
  return std::min(hz, 0.45 * rate_hz);
}

std::size_t samples_in(double s, double rate_hz) {
  return static_cast<std::size_t>(std::max(1.0, std::round(s * rate_hz)));
}

double gain(double tau_s, double rate_hz) {
  return 1 - std::exp(-1 / (tau_s * rate_hz));
}

}  // namespace

void TickOptions::check() const {
  require_in_range(least_ratio, 2, 1000, "least_ratio");
  require_in_range(least_gap_s, 4e-3, 1, "least_gap_s");
  require_in_range(least_sigma_s, 1e-6, 0.01, "least_sigma_s");
}

TickFinder::Filters::Filters(double rate_hz)
    : above(Biquad::Pass::kHigh, corner(kAbove_hz, rate_hz), rate_hz),
      steeper(above),
      low(Biquad::Pass::kLow, corner(kLowBand_hz, rate_hz), rate_hz),
      middle_from(Biquad::Pass::kHigh, corner(kLowBand_hz, rate_hz), rate_hz),
      middle_to(Biquad::Pass::kLow, corner(kHighBand_hz, rate_hz), rate_hz),
      high(Biquad::Pass::kHigh, corner(kHighBand_hz, rate_hz), rate_hz) {}

TickFinder::TickFinder(const TickOptions& options) : options_(options) {
  options_.check();
}

void TickFinder::start_over(double rate_hz) {
  rate_hz_ = rate_hz;
  filters_.emplace(rate_hz);
  fast_gain_ = gain(kFast_s, rate_hz);
  recent_gain_ = gain(kRecent_s, rate_hz);
  hall_gain_ = gain(kHall_s, rate_hz);
  band_gain_ = gain(kBand_s, rate_hz);
  fast_ = recent_ = hall_ = 0;
  bands_.fill(0);
  history_.assign(samples_in(kHistory_s, rate_hz), 0.0);
  delayed_.assign(samples_in(kDelay_s, rate_hz), 0.0);
  count_ = 0;
  listening_ = false;
  deaf_until_ = static_cast<long long>(samples_in(kSettle_s, rate_hz));
}

void TickFinder::add_sample(double x) {
  Filters& f = *filters_;
  const double y = f.steeper(f.above(x));
  const auto n = static_cast<std::size_t>(count_);
  history_[n % history_.size()] = y;
  const double energy = y * y;
  double& oldest = delayed_[n % delayed_.size()];
  recent_ += recent_gain_ * (oldest - recent_);
  // While the hall is not known yet, its mean so far.
  const bool settled = kSettle_s * rate_hz_ < static_cast<double>(count_);
  const double hall_gain =
      settled ? hall_gain_ : 1 / (static_cast<double>(count_) + 1);
  const double most = kClip * std::max(hall_, kLeastEnergy);
  hall_ += hall_gain * ((settled ? std::min(oldest, most) : oldest) - hall_);
  oldest = energy;
  fast_ += fast_gain_ * (energy - fast_);
  const std::array<double, 3> parts{
      f.low(y), f.middle_to(f.middle_from(y)), f.high(y)};
  for (std::size_t b = 0; b < parts.size(); ++b) {
    bands_[b] += band_gain_ * (parts[b] * parts[b] - bands_[b]);
  }
  ++count_;
}

std::optional<Tick> TickFinder::finished_tick(double t_now_s) const {
  const long long from =
      loudest_at_ - static_cast<long long>(samples_in(kLookBack_s, rate_hz_));
  std::vector<double> window;
  for (long long i = std::max<long long>(from, 0); i <= loudest_at_; ++i) {
    window.push_back(history_[static_cast<std::size_t>(i) % history_.size()]);
  }
  const Onset onset = onset_in(window, kIndependent, kSmear * loudest_);
  if (!onset.found) return std::nullopt;
  Tick tick;
  tick.t_s =
      t_now_s - (static_cast<double>(count_ - from) - onset.place) / rate_hz_;
  tick.sigma_s = std::hypot(onset.sigma / rate_hz_, options_.least_sigma_s);
  tick.strength_db = 10 * std::log10(loudest_ / before_);
  const double all =
      std::accumulate(bands_of_tick_.begin(), bands_of_tick_.end(), 0.0);
  for (std::size_t b = 0; b < bands_of_tick_.size() && all > 0; ++b) {
    tick.band_share[b] = bands_of_tick_[b] / all;
  }
  return tick;
}

std::vector<Tick> TickFinder::add(const SoundBlock& block) {
  if (!block.continues || block.rate_hz != rate_hz_) start_over(block.rate_hz);
  std::vector<Tick> ticks;
  const auto within =
      static_cast<long long>(samples_in(kLoudestWithin_s, rate_hz_));
  const auto longest =
      static_cast<long long>(samples_in(kLongestRise_s, rate_hz_));
  const auto gap =
      static_cast<long long>(samples_in(options_.least_gap_s, rate_hz_));
  for (std::size_t i = 0; i < block.samples.size(); ++i) {
    const double x = block.samples[i];
    sum_squares_ += x * x;
    ++samples_;
    add_sample(x);
    const double before = std::max({hall_, recent_, kLeastEnergy});
    if (!listening_ && count_ > deaf_until_ &&
        fast_ > options_.least_ratio * before) {
      listening_ = true;
      triggered_ = count_ - 1;
      loudest_ = 0;
      before_ = before;
      bands_before_ = bands_;
    }
    if (!listening_) continue;
    if (fast_ > loudest_) {
      loudest_ = fast_;
      loudest_at_ = count_ - 1;
      for (std::size_t b = 0; b < bands_.size(); ++b) {
        bands_of_tick_[b] = std::max(0.0, bands_[b] - bands_before_[b]);
      }
    }
    const bool rising =
        count_ - loudest_at_ < within && count_ - triggered_ < longest;
    if (rising) continue;
    listening_ = false;
    deaf_until_ = loudest_at_ + gap;
    const double t_now_s =
        block.t_s + static_cast<double>(i + 1) / block.rate_hz;
    if (auto tick = finished_tick(t_now_s)) ticks.push_back(*tick);
  }
  return ticks;
}

double TickFinder::level() const {
  return samples_ > 0 ? std::sqrt(sum_squares_ / static_cast<double>(samples_))
                      : 0;
}

}  // namespace evenfeed
