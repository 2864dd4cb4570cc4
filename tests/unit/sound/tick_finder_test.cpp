// SPDX-License-Identifier: MIT
#include "sound/tick_finder.h"

#include "base/error.h"

#include "made_sound.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<Tick> ticks_in(const std::vector<float>& samples,
                           double rate_hz,
                           double t_s = 0) {
  TickFinder finder;
  std::vector<Tick> ticks;
  for (const SoundBlock& block : in_blocks(samples, rate_hz, t_s)) {
    for (const Tick& tick : finder.add(block)) ticks.push_back(tick);
  }
  return ticks;
}

struct Heard {
  int clicks = 0;
  int ticks = 0;
  int right = 0;  ///< within 2 ms of a click
  double bias_s = 0;
  double sd_s = 0;
  double sd_over_sigma = 0;
};

// Clicks of this amplitude every 0.1 to 0.15 s over noise of 0.01.
Heard heard_of(double amplitude, double rate_hz, std::uint64_t seed) {
  Heard heard;
  std::vector<float> sound = made_noise(40, rate_hz, 0.01, seed);
  RandomEngine engine = derived_engine(seed, "clicks");
  std::uniform_real_distribution<double> wait_s(0.1, 0.15);
  std::uniform_real_distribution<double> pitch_hz(2500, 6500);
  std::vector<double> times_s;
  for (double t_s = 0.5; t_s < 39.5; t_s += wait_s(engine)) {
    times_s.push_back(t_s);
    add_click({t_s, amplitude, pitch_hz(engine)}, rate_hz, sound);
  }
  heard.clicks = static_cast<int>(times_s.size());
  std::vector<double> errors_s, sigmas_s;
  for (const Tick& tick : ticks_in(sound, rate_hz)) {
    ++heard.ticks;
    for (const double t_s : times_s) {
      if (std::abs(tick.t_s - t_s) > 2e-3) continue;
      ++heard.right;
      errors_s.push_back(tick.t_s - t_s);
      sigmas_s.push_back(tick.sigma_s);
    }
  }
  double sum = 0;
  for (const double error_s : errors_s) sum += error_s;
  heard.bias_s = sum / heard.right;
  double squares = 0;
  double chi2 = 0;
  for (std::size_t i = 0; i < errors_s.size(); ++i) {
    const double left_s = errors_s[i] - heard.bias_s;
    squares += left_s * left_s;
    chi2 += left_s * left_s / (sigmas_s[i] * sigmas_s[i]);
  }
  heard.sd_s = std::sqrt(squares / heard.right);
  heard.sd_over_sigma = std::sqrt(chi2 / heard.right);
  return heard;
}

}  // namespace

TEST_CASE("clicks are heard when they happen, as surely as is said") {
  for (const double rate_hz : {48000.0, 44100.0, 16000.0}) {
    for (const double amplitude : {0.5, 0.15, 0.08}) {
      CAPTURE(rate_hz);
      CAPTURE(amplitude);
      const Heard heard = heard_of(amplitude, rate_hz, 3);
      CAPTURE(heard.bias_s);
      CAPTURE(heard.sd_s);
      CAPTURE(heard.sd_over_sigma);
      CAPTURE(heard.ticks);
      REQUIRE(heard.clicks > 250);
      CHECK(heard.right >= 0.98 * heard.clicks);
      CHECK(heard.ticks - heard.right <= 0.01 * heard.clicks);
      CHECK(std::abs(heard.bias_s) < 3e-4);
      CHECK(heard.sd_s < 1e-4);
      CHECK(heard.sd_over_sigma < 1.25);
    }
  }
}

TEST_CASE("noise alone does not tick, whatever its level") {
  const std::vector<float> noise = made_noise(60, 48000, 0.02, 5);
  CHECK(ticks_in(noise, 48000).empty());
  CHECK(ticks_in(std::vector<float>(480000, 0.0F), 48000).empty());
  // A machine is switched on: at most the moment itself.
  std::vector<float> louder = noise;
  for (std::size_t i = louder.size() / 2; i < louder.size(); ++i) {
    louder[i] *= 20;
  }
  CHECK(ticks_in(louder, 48000).size() <= 1);
}

TEST_CASE("a click in an echo is heard once, one after it again") {
  std::vector<float> sound = made_noise(4, 48000, 0.001, 8);
  const std::vector<float> tail = made_noise(4, 48000, 0.03, 9);
  for (const double t_s : {1.0, 2.0, 2.25}) {
    add_click({t_s, 0.5}, 48000, sound);
    const auto from = static_cast<std::size_t>((t_s + 0.003) * 48000);
    for (std::size_t i = from; i < sound.size(); ++i) {
      // 60 dB in 0.6 s.
      sound[i] += static_cast<float>(
          tail[i] *
          std::exp(-6.9 * static_cast<double>(i - from) / 48000 / 0.6));
    }
  }
  const auto ticks = ticks_in(sound, 48000);
  REQUIRE(ticks.size() == 3);
  CHECK(ticks[2].t_s == doctest::Approx(2.25).epsilon(1e-4));
}

TEST_CASE("what a tick is like tells a click from a thud") {
  std::vector<float> sound = made_noise(3, 48000, 0.0005, 4);
  add_click({1.0, 0.5, 9000}, 48000, sound);
  add_click({2.0, 0.5, 1900, 4e-3}, 48000, sound);
  const auto ticks = ticks_in(sound, 48000);
  REQUIRE(ticks.size() == 2);
  CHECK(ticks[0].band_share[2] > 0.6);
  CHECK(ticks[1].band_share[0] > 0.6);
  CHECK(ticks[0].strength_db > 40);
  for (const Tick& tick : ticks) {
    CHECK(tick.band_share[0] + tick.band_share[1] + tick.band_share[2] ==
          doctest::Approx(1));
  }
}

TEST_CASE("a gap begins anew, in time and in what is known of the hall") {
  std::vector<float> sound = made_noise(2, 48000, 0.001, 6);
  add_click({1.0, 0.5}, 48000, sound);
  TickFinder finder;
  std::vector<Tick> ticks;
  for (const double from_s : {10.0, 20.0}) {
    for (const SoundBlock& block : in_blocks(sound, 48000, from_s)) {
      for (const Tick& tick : finder.add(block)) ticks.push_back(tick);
    }
  }
  REQUIRE(ticks.size() == 2);
  CHECK(ticks[0].t_s == doctest::Approx(11).epsilon(3e-5));
  CHECK(ticks[1].t_s == doctest::Approx(21).epsilon(3e-5));
}

TEST_CASE("options out of range are refused") {
  TickOptions options;
  options.least_ratio = 1;
  CHECK_THROWS_AS(TickFinder{options}, UsageError);
  options = {};
  options.least_gap_s = 0;
  CHECK_THROWS_AS(options.check(), UsageError);
}
