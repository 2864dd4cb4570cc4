// SPDX-License-Identifier: MIT
// Whose ticks they are, from a hall's sound alone: how many bounces are heard,
// how many taken wrongly, and whether the offset is off by what it states.
//
//   hearing_table [FILMS]
//
// FILMS (10) of 100 feeds of the overhead scene a line, their sound rendered,
// never coded; bounces are "seen" where they were, with noise. Speech and music
// are their rms below a bounce's loudest moment. Wrong: off by more than 1 ms
// about the film's mean, and by more than four of its sigmas.
#include "base/random.h"
#include "hearing/hearing.h"
#include "simulate/hall_sound.h"
#include "simulate/scene_file.h"
#include "simulate/true_feeds.h"
#include "sound/tick_finder.h"

#include <array>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <random>
#include <vector>

#include <fmt/format.h>

namespace evenfeed {
namespace {

struct Hall {
  double below_db;
  double neighbour_hz;
};
constexpr std::array kSight_s{3e-4, 1e-3};

Scene bench_in(const Hall& hall) {
  const std::filesystem::path profiles = EVENFEED_ROOT "/profiles";
  Scene scene = load_scene(
      profiles / "scenes/overhead720p60.toml", [&](std::string_view name) {
        return TomlTable::read(profiles / (std::string(name) + ".toml"));
      });
  scene.launcher.feeds = 100;
  scene.sound.present = true;
  scene.sound.offset_s = 0.08;
  scene.sound.drift = 30e-6;
  scene.sound.speech_below_db = hall.below_db;
  scene.sound.neighbour_hz = hall.neighbour_hz;
  return scene;
}

// Chords, and 130 beats of a drum a minute (invented), as loud as the speech.
void add_music(const Scene& scene, double below_db, std::vector<float>& sound) {
  const double rate_hz = scene.sound.rate_hz;
  const double rms = std::pow(10, (scene.sound.bounce_db - below_db) / 20);
  constexpr double kTwoPi = 2 * std::numbers::pi;
  for (std::size_t n = 0; n < sound.size(); ++n) {
    const double t_s = static_cast<double>(n) / rate_hz;
    const double beat_s = std::fmod(t_s, 60.0 / 130);
    const double chord = std::sin(kTwoPi * 440 * t_s) +
                         std::sin(kTwoPi * 554 * t_s) +
                         std::sin(kTwoPi * 659 * t_s);
    const double drum =
        6 * std::sin(kTwoPi * 4100 * beat_s) * std::exp(-60 * beat_s);
    sound[n] += static_cast<float>(0.7 * rms * (chord + drum));
  }
}

struct Tally {
  int films = 0, refused = 0, bounces = 0, heard = 0, wrong = 0;
  double offset_z2 = 0, tick_s2 = 0, tick_z2 = 0;
};

void add_hearing(const Scene& scene,
                 const std::vector<Tick>& ticks,
                 double sight_s,
                 std::uint64_t seed,
                 Tally& tally) {
  RandomEngine engine = derived_engine(seed, "sight");
  std::normal_distribution<double> normal;
  std::vector<ExpectedTick> seen;
  std::vector<double> truth_s;
  for (const TrueFeed& feed : true_feeds(scene, seed)) {
    if (!feed.bounced) continue;
    truth_s.push_back(feed.t_bounce_s);
    seen.push_back({feed.t_bounce_s + sight_s * normal(engine),
                    sight_s,
                    (feed.bounce_m - microphone_m(scene)).norm()});
  }
  ++tally.films;
  tally.bounces += static_cast<int>(seen.size());
  const Hearing hearing = hear(seen, ticks, {});
  if (!hearing.agrees) {
    ++tally.refused;
    return;
  }
  tally.heard += hearing.heard;
  const SoundClock& clock = hearing.clock;
  const double late_s =
      scene.sound.offset_s + scene.sound.drift * clock.middle_s;
  const double off_s = clock.offset_s - late_s;
  tally.offset_z2 += off_s * off_s / clock.covariance(0, 0);
  for (std::size_t i = 0; i < seen.size(); ++i) {
    if (!hearing.ticks[i].heard) continue;
    const double by_clock_s = off_s + (clock.drift - scene.sound.drift) *
                                          (truth_s[i] - clock.middle_s);
    const double error_s = hearing.ticks[i].t_s - truth_s[i] + by_clock_s;
    constexpr double kWrong_s = 1e-3;
    constexpr double kWrong = 4;
    if (std::abs(error_s) >
        std::max(kWrong_s, kWrong * hearing.ticks[i].sigma_s)) {
      ++tally.wrong;
      continue;
    }
    tally.tick_s2 += error_s * error_s;
    tally.tick_z2 += std::pow(error_s / hearing.ticks[i].sigma_s, 2);
  }
}

void add_film(const Hall& hall,
              std::uint64_t seed,
              std::array<Tally, kSight_s.size()>& tallies) {
  const Scene scene = bench_in(hall);
  SoundBlock block;
  block.rate_hz = scene.sound.rate_hz;
  block.samples = hall_sound(scene, seed);
  add_music(scene, hall.below_db, block.samples);
  TickFinder finder;
  const std::vector<Tick> ticks = finder.add(block);
  for (std::size_t k = 0; k < kSight_s.size(); ++k) {
    add_hearing(scene, ticks, kSight_s[k], seed, tallies[k]);
  }
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  const int films = argc > 1 ? std::atoi(argv[1]) : 10;
  fmt::print(
      "below dB, neighbours, sight ms | bounces, heard, wrong, films "
      "refused | offset error/sigma, tick sd ms, error/sigma\n");
  constexpr Hall kHalls[] = {{20, 0}, {10, 1}, {5, 2}, {0, 2}};
  for (const Hall& hall : kHalls) {
    std::array<Tally, kSight_s.size()> tallies;
    for (int film = 1; film <= films; ++film) {
      add_film(hall, static_cast<std::uint64_t>(film), tallies);
    }
    for (std::size_t k = 0; k < tallies.size(); ++k) {
      const Tally& tally = tallies[k];
      const double right = std::max(1, tally.heard - tally.wrong);
      fmt::print(
          "{:2.0f} {:.0f} {:.1f} | {} {} {} {} | {:.2f} {:.3f} {:.2f}\n",
          hall.below_db,
          hall.neighbour_hz,
          1e3 * kSight_s[k],
          tally.bounces,
          tally.heard,
          tally.wrong,
          tally.refused,
          std::sqrt(tally.offset_z2 / std::max(1, tally.films - tally.refused)),
          1e3 * std::sqrt(tally.tick_s2 / right),
          std::sqrt(tally.tick_z2 / right));
    }
    std::fflush(stdout);
  }
}
