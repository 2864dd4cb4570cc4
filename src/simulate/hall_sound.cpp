// SPDX-License-Identifier: MIT
#include "simulate/hall_sound.h"

#include "base/random.h"
#include "simulate/strays.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

constexpr double kTwoPi = 2 * std::numbers::pi;
constexpr double kSound_mps = 343.2;  // 20 degrees Celsius

double factor(double db) { return std::pow(10, db / 20); }

struct Mode {
  double frequency_hz = 0;
  double decay_s = 0;
  double part = 0;
};

struct Voice {
  double level_db = 0;  ///< against a ball on the table at the same speed
  std::array<Mode, 5> modes;
};

const Voice& voice_of(SoundKind kind) {
  static const Voice table{0,
                           {{{1150, 5e-3, 0.5},
                             {2300, 4e-3, 0.7},
                             {3700, 2.5e-3, 0.6},
                             {9200, 0.8e-3, 0.8},
                             {11400, 0.6e-3, 0.5}}}};
  static const Voice floor{-6,
                           {{{420, 8e-3, 0.5},
                             {900, 6e-3, 0.6},
                             {2600, 3e-3, 0.5},
                             {8900, 0.8e-3, 0.7},
                             {10800, 0.6e-3, 0.4}}}};
  static const Voice sample{-3,
                            {{{320, 7e-3, 0.9},
                              {780, 5e-3, 0.8},
                              {1700, 3e-3, 0.5},
                              {3100, 1.5e-3, 0.4},
                              {8700, 0.6e-3, 0.2}}}};
  static const Voice net{-24,
                         {{{180, 15e-3, 1},
                           {420, 9e-3, 0.5},
                           {900, 4e-3, 0.2},
                           {0, 1, 0},
                           {0, 1, 0}}}};
  static const Voice launcher{-4,
                              {{{650, 6e-3, 0.8},
                                {1500, 4e-3, 0.9},
                                {2900, 3e-3, 0.6},
                                {5200, 1.5e-3, 0.4},
                                {7600, 1e-3, 0.2}}}};
  switch (kind) {
    case SoundKind::kFloor:
      return floor;
    case SoundKind::kSample:
      return sample;
    case SoundKind::kNet:
      return net;
    case SoundKind::kLauncher:
      return launcher;
    default:
      return table;
  }
}

// One bounce does not sound like the next: the modes are met elsewhere.
Voice varied(Voice voice, RandomEngine& engine) {
  std::normal_distribution<double> normal;
  voice.level_db += 1.5 * normal(engine);
  for (Mode& mode : voice.modes) {
    mode.frequency_hz *= 1 + 0.03 * normal(engine);
    mode.part *= 1 + 0.25 * normal(engine);
  }
  return voice;
}

// At one metre and one metre per second its loudest moment is about 1.
void add_contact(const Voice& voice,
                 double amplitude,
                 double at_s,
                 double rate_hz,
                 std::vector<float>& sound) {
  constexpr double kRise_s = 1.2e-4;
  constexpr double kLong_s = 0.08;
  const double gain = amplitude * factor(voice.level_db);
  const auto first =
      static_cast<long long>(std::ceil(std::max(0.0, at_s * rate_hz)));
  const auto last = std::min(static_cast<long long>(sound.size()),
                             std::llround((at_s + kLong_s) * rate_hz));
  for (long long n = first; n < last; ++n) {
    const double t_s = static_cast<double>(n) / rate_hz - at_s;
    double sum = 0;
    for (const Mode& mode : voice.modes) {
      if (mode.frequency_hz > 0.45 * rate_hz) continue;
      sum += mode.part * std::exp(-t_s / mode.decay_s) *
             std::sin(kTwoPi * mode.frequency_hz * t_s);
    }
    sound[static_cast<std::size_t>(n)] +=
        static_cast<float>(gain * (1 - std::exp(-t_s / kRise_s)) * sum);
  }
}

class Delay {
 public:
  explicit Delay(std::size_t samples)
      : line_(std::max<std::size_t>(1, samples)) {}
  double oldest() const { return line_[at_]; }
  void put(double value) {
    line_[at_] = value;
    at_ = (at_ + 1) % line_.size();
  }

 private:
  std::vector<double> line_;
  std::size_t at_ = 0;
};

void add_echo(const SoundOptions& options, std::vector<float>& sound) {
  if (options.echo_s <= 0) return;
  const double rate_hz = options.rate_hz;
  const auto delay = [&](double s) {
    return Delay(static_cast<std::size_t>(s * rate_hz));
  };
  constexpr std::array kCombs_s{0.0297, 0.0371, 0.0411, 0.0437};
  std::array combs{delay(kCombs_s[0]),
                   delay(kCombs_s[1]),
                   delay(kCombs_s[2]),
                   delay(kCombs_s[3])};
  std::array passes{delay(0.0050), delay(0.0017)};
  constexpr double kPass = 0.7;
  const double wet = factor(options.echo_db) / combs.size();
  for (float& sample : sound) {
    double sum = 0;
    for (std::size_t c = 0; c < combs.size(); ++c) {
      // 60 dB over echo_s.
      const double feedback = std::pow(10, -3 * kCombs_s[c] / options.echo_s);
      const double out = combs[c].oldest();
      combs[c].put(sample + feedback * out);
      sum += out;
    }
    for (Delay& pass : passes) {
      const double out = pass.oldest() - kPass * sum;
      pass.put(sum + kPass * out);
      sum = out;
    }
    sample += static_cast<float>(wet * sum);
  }
}

// Low pass of first order.
class Smoother {
 public:
  Smoother(double corner_hz, double rate_hz)
      : gain_(1 - std::exp(-kTwoPi * corner_hz / rate_hz)) {}
  double operator()(double x) { return state_ += gain_ * (x - state_); }

 private:
  double gain_;
  double state_ = 0;
};

double rms_of(const std::vector<float>& sound) {
  double sum = 0;
  for (const float sample : sound) sum += static_cast<double>(sample) * sample;
  return std::sqrt(sum /
                   static_cast<double>(std::max<std::size_t>(1, sound.size())));
}

void add_at_level(const std::vector<float>& part,
                  double rms,
                  std::vector<float>& sound) {
  const double is = rms_of(part);
  if (!(is > 0)) return;
  for (std::size_t i = 0; i < sound.size(); ++i) {
    sound[i] += static_cast<float>(part[i] * rms / is);
  }
}

// Air, lamps and the microphone itself: white and, more of it, below 400 Hz.
std::vector<float> hall_noise(std::size_t count,
                              double rate_hz,
                              RandomEngine& engine) {
  std::normal_distribution<double> normal;
  Smoother low(400, rate_hz);
  std::vector<float> noise;
  for (std::size_t i = 0; i < count; ++i) {
    const double white = normal(engine);
    noise.push_back(static_cast<float>(white + 8 * low(normal(engine))));
  }
  return noise;
}

// Motors: harmonics of 97 Hz that wander a little.
std::vector<float> launcher_hum(std::size_t count,
                                double rate_hz,
                                RandomEngine& engine) {
  std::normal_distribution<double> normal;
  Smoother wander(0.5, rate_hz);
  std::vector<float> hum;
  double phase = 0;
  for (std::size_t i = 0; i < count; ++i) {
    phase += kTwoPi * 97 * (1 + wander(normal(engine))) / rate_hz;
    double sum = 0;
    for (int k = 1; k <= 12; ++k) sum += std::sin(k * phase) / k;
    hum.push_back(static_cast<float>(sum));
  }
  return hum;
}

// The long-term spectrum of voices, flat to 500 Hz and 9 dB per octave above
// (from memory), in syllables of a quarter of a second that set in hard.
std::vector<float> speech(std::size_t count,
                          double rate_hz,
                          RandomEngine& engine) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform;
  Smoother once(500, rate_hz), half(2500, rate_hz), below(120, rate_hz);
  std::vector<float> voice;
  double loud = 0;
  double decay = 1;
  for (std::size_t i = 0; i < count; ++i) {
    if (uniform(engine) < 4 / rate_hz) {
      loud = uniform(engine) < 0.3 ? 0 : uniform(engine);
      decay = std::exp(-1 / ((0.05 + 0.3 * uniform(engine)) * rate_hz));
    }
    loud *= decay;
    const double shaped = half(once(normal(engine)));
    voice.push_back(static_cast<float>(loud * (shaped - below(shaped))));
  }
  return voice;
}

}  // namespace

Eigen::Vector3d microphone_m(const Scene& scene) {
  return scene.sound.at_camera
             ? scene.camera.model.camera_from_table.inverse().translation_m
             : scene.sound.microphone_m;
}

double heard_s(const Scene& scene, const SoundEvent& event) {
  const double travel_s =
      (event.place_m - microphone_m(scene)).norm() / kSound_mps;
  return event.t_s * (1 + scene.sound.drift) + travel_s + scene.sound.offset_s;
}

std::vector<float> hall_sound(const Scene& scene, std::uint64_t seed) {
  const SoundOptions& options = scene.sound;
  const double rate_hz = options.rate_hz;
  const auto count = static_cast<std::size_t>(film_duration_s(scene) * rate_hz);
  // A ball at 2 m/s, 2.5 m away, peaks at bounce_db; the others follow.
  const double unit = factor(options.bounce_db) * 2.5 / 2;
  std::vector<float> sound(count, 0.0F);
  std::size_t number = 0;
  for (const SoundEvent& event : sound_events(scene, seed)) {
    RandomEngine engine = derived_engine(seed, "contact sound", number++);
    const double distance_m =
        std::max(0.05, (event.place_m - microphone_m(scene)).norm());
    double amplitude = unit * event.impact_mps / distance_m;
    if (event.kind == SoundKind::kLauncher) {
      amplitude *= factor(options.clatter_db);
    }
    add_contact(varied(voice_of(event.kind), engine),
                amplitude,
                heard_s(scene, event),
                rate_hz,
                sound);
  }
  add_echo(options, sound);
  const double bounce = factor(options.bounce_db);
  const auto add_noise = [&](const char* name, auto make, double below_db) {
    RandomEngine engine = derived_engine(seed, name);
    add_at_level(
        make(count, rate_hz, engine), bounce * factor(-below_db), sound);
  };
  add_noise("hall noise", hall_noise, options.noise_below_db);
  add_noise("hum", launcher_hum, options.hum_below_db);
  add_noise("speech", speech, options.speech_below_db);
  for (float& sample : sound) sample = std::clamp(sample, -1.0F, 1.0F);
  return sound;
}

}  // namespace evenfeed
