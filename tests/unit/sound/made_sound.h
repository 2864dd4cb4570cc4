// SPDX-License-Identifier: MIT
// Sounds with known onsets, for tests. Contacts of 0.5 to 2 ms that ring on
// for some milliseconds are invented data.
#pragma once

#include "base/random.h"
#include "sound/sound_source.h"

#include <cmath>
#include <numbers>
#include <vector>

namespace evenfeed {

struct MadeClick {
  double t_s = 0;
  double amplitude = 0.1;
  double pitch_hz = 4200;
  double decay_s = 1.5e-3;
};

/// Rises as a half sine within 0.2 ms, then rings out.
inline void add_click(const MadeClick& click,
                      double rate_hz,
                      std::vector<float>& samples) {
  constexpr double kRise_s = 2e-4;
  const auto from = static_cast<std::size_t>(std::ceil(click.t_s * rate_hz));
  for (std::size_t i = from; i < samples.size(); ++i) {
    const double t_s = static_cast<double>(i) / rate_hz - click.t_s;
    if (t_s > 10 * click.decay_s) break;
    const double rise =
        t_s < kRise_s ? std::sin(std::numbers::pi / 2 * t_s / kRise_s) : 1;
    samples[i] += static_cast<float>(
        click.amplitude * rise * std::exp(-t_s / click.decay_s) *
        std::sin(2 * std::numbers::pi * click.pitch_hz * t_s));
  }
}

inline std::vector<float> made_noise(double seconds,
                                     double rate_hz,
                                     double sd,
                                     std::uint64_t seed) {
  RandomEngine engine = derived_engine(seed, "noise");
  std::normal_distribution<float> normal(0, static_cast<float>(sd));
  std::vector<float> samples(static_cast<std::size_t>(seconds * rate_hz));
  for (float& sample : samples) sample = normal(engine);
  return samples;
}

/// In blocks of 1024, as AAC comes.
inline std::vector<SoundBlock> in_blocks(const std::vector<float>& samples,
                                         double rate_hz,
                                         double t_s = 0) {
  std::vector<SoundBlock> blocks;
  for (std::size_t i = 0; i < samples.size(); i += 1024) {
    SoundBlock block;
    block.rate_hz = rate_hz;
    block.t_s = t_s + static_cast<double>(i) / rate_hz;
    block.continues = i > 0;
    const std::size_t end = std::min(samples.size(), i + 1024);
    block.samples.assign(samples.begin() + static_cast<long>(i),
                         samples.begin() + static_cast<long>(end));
    blocks.push_back(std::move(block));
  }
  return blocks;
}

}  // namespace evenfeed
