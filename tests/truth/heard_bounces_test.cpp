// SPDX-License-Identifier: MIT
// From a bench that sounds to bounces that are heard, the picture replaced by
// the truth with noise: how many, how many wrong, how late.
#include "base/random.h"
#include "base/units.h"
#include "hearing/hearing.h"
#include "pipeline/measure.h"
#include "simulate/film.h"
#include "simulate/hall_sound.h"
#include "sound/film_ticks.h"
#include "support/temp_dir.h"
#include "unit/simulate/test_scene.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Scene sounding_bench(int feeds) {
  Scene scene = shipped_scene("overhead720p60");
  scene.launcher.feeds = feeds;
  scene.sound.present = true;
  scene.sound.offset_s = 0.08;
  scene.sound.drift = 30e-6;
  return scene;
}

std::vector<Tick> ticks_of(const Scene& scene, std::uint64_t seed) {
  TickFinder finder;
  SoundBlock block;
  block.rate_hz = scene.sound.rate_hz;
  block.samples = hall_sound(scene, seed);
  return finder.add(block);
}

std::vector<ExpectedTick> seen_bounces(const Scene& scene,
                                       const std::vector<TrueFeed>& feeds,
                                       double sight_s) {
  RandomEngine engine = derived_engine(9, "sight");
  std::normal_distribution<double> normal;
  std::vector<ExpectedTick> seen;
  for (const TrueFeed& feed : feeds) {
    if (!feed.bounced) continue;
    seen.push_back({feed.t_bounce_s + sight_s * normal(engine),
                    sight_s,
                    (feed.bounce_m - microphone_m(scene)).norm()});
  }
  return seen;
}

struct Score {
  int seen = 0;
  int heard = 0;
  int wrong = 0;           ///< off by more than 1 ms
  double clock_off_s = 0;  ///< mean of heard less true, no error is the clock's
  double sd_s = 0;         ///< about that
};

Score score_of(const Scene& scene,
               const std::vector<Tick>& ticks,
               std::uint64_t seed,
               double sight_s) {
  const auto feeds = true_feeds(scene, seed);
  const auto seen = seen_bounces(scene, feeds, sight_s);
  const Hearing hearing = hear(seen, ticks, {});
  CAPTURE(hearing.why_not);
  Score score;
  score.seen = static_cast<int>(seen.size());
  if (!hearing.agrees) return score;
  std::vector<double> errors_s;
  std::size_t i = 0;
  for (const TrueFeed& feed : feeds) {
    if (!feed.bounced) continue;
    const HeardTick& one = hearing.ticks[i++];
    if (one.heard) errors_s.push_back(one.t_s - feed.t_bounce_s);
  }
  score.heard = hearing.heard;
  double sum = 0;
  for (const double error_s : errors_s) sum += error_s;
  score.clock_off_s = sum / hearing.heard;
  double squares = 0;
  for (const double error_s : errors_s) {
    score.wrong += std::abs(error_s - score.clock_off_s) > 1e-3;
    squares += std::pow(error_s - score.clock_off_s, 2);
  }
  score.sd_s = std::sqrt(squares / hearing.heard);
  return score;
}

}  // namespace

TEST_CASE("bounces are heard over speech, a second table and an echo") {
  struct Hall {
    double speech_below_db;
    double neighbour_hz;
    double least_share;
    int most_wrong;
  };
  const Hall halls[] = {
      {20, 0, 0.95, 0}, {10, 1, 0.9, 0}, {5, 2, 0.8, 0}, {0, 2, 0.5, 1}};
  for (const Hall& hall : halls) {
    Scene scene = sounding_bench(50);
    scene.sound.speech_below_db = hall.speech_below_db;
    scene.sound.neighbour_hz = hall.neighbour_hz;
    const auto ticks = ticks_of(scene, 4);
    const Score score = score_of(scene, ticks, 4, 1e-3);
    MESSAGE("speech " << hall.speech_below_db << " dB below, neighbours "
                      << hall.neighbour_hz << "/s: " << ticks.size()
                      << " ticks, heard " << score.heard << " of " << score.seen
                      << ", wrong " << score.wrong << ", off "
                      << 1e3 * score.clock_off_s << " ms, sd "
                      << 1e3 * score.sd_s << " ms");
    CHECK(score.seen >= 47);
    CHECK(score.heard >= hall.least_share * score.seen);
    CHECK(score.wrong <= hall.most_wrong);
    CHECK(std::abs(score.clock_off_s) < 4e-4);
    CHECK(score.sd_s < 3e-4);
  }
}

namespace {

// What hear() makes of a film of `scene` with this sound, bounces seen to 1 ms.
Score heard_with(const Scene& scene, const std::vector<float>& sound) {
  TickFinder finder;
  SoundBlock block;
  block.rate_hz = scene.sound.rate_hz;
  block.samples = sound;
  return score_of(scene, finder.add(block), 4, 1e-3);
}

}  // namespace

TEST_CASE("sound that is late, runs off or is cut is right or refused") {
  Scene scene = sounding_bench(40);
  scene.sound.speech_below_db = 20;
  SUBCASE("200 ms late") {
    scene.sound.offset_s = 0.2;
    const Score score = heard_with(scene, hall_sound(scene, 4));
    CHECK(score.heard >= 0.9 * score.seen);
    CHECK(score.wrong == 0);
    CHECK(std::abs(score.clock_off_s) < 4e-4);
  }
  SUBCASE("runs off by 50 ppm") {
    scene.sound.drift = 50e-6;
    const Score score = heard_with(scene, hall_sound(scene, 4));
    CHECK(score.heard >= 0.9 * score.seen);
    CHECK(score.wrong == 0);
    CHECK(score.sd_s < 2e-4);
  }
  SUBCASE("breaks off in the middle") {
    std::vector<float> sound = hall_sound(scene, 4);
    std::fill(
        sound.begin() + static_cast<long>(sound.size() / 2), sound.end(), 0.0F);
    const Score score = heard_with(scene, sound);
    CHECK(score.heard >= 0.4 * score.seen);
    CHECK(score.heard <= 0.6 * score.seen);
    CHECK(score.wrong == 0);
    CHECK(std::abs(score.clock_off_s) < 5e-4);
  }
  SUBCASE("a piece is missing in the middle: the rest is early") {
    int refused = 0;
    const std::vector<float> whole = hall_sound(scene, 4);
    for (const double missing_s : {0.004, 0.0213, 0.3}) {
      CAPTURE(missing_s);
      std::vector<float> sound = whole;
      const auto from = sound.begin() + static_cast<long>(sound.size() / 2);
      sound.erase(from, from + static_cast<long>(missing_s * 48000));
      const Score score = heard_with(scene, sound);
      MESSAGE("without " << missing_s << " s: heard " << score.heard
                         << ", wrong " << score.wrong << ", off "
                         << 1e3 * score.clock_off_s << " ms, sd "
                         << 1e3 * score.sd_s);
      refused += score.heard == 0;
      CHECK(score.wrong == 0);
      CHECK(score.sd_s < 3e-4);
    }
    CHECK(refused >= 2);
  }
}

TEST_CASE("sound of something else is refused") {
  Scene scene = sounding_bench(40);
  SUBCASE("another film of the same bench") {
    const Score score = heard_with(scene, hall_sound(scene, 5));
    CHECK(score.seen >= 36);
    CHECK(score.heard == 0);
  }
  SUBCASE("music over everything") {
    // Drums at 120 beats a minute, chords between (invented).
    std::vector<float> music(hall_sound(scene, 4).size());
    for (std::size_t n = 0; n < music.size(); ++n) {
      const double t_s = static_cast<double>(n) / 48000;
      const double beat_s = std::fmod(t_s, 0.25);
      music[n] = static_cast<float>(
          0.1 * std::sin(2764 * t_s) + 0.1 * std::sin(3483 * t_s) +
          0.4 * std::sin(26000 * beat_s) * std::exp(-120 * beat_s));
    }
    const Score score = heard_with(scene, music);
    CHECK(score.seen >= 36);
    CHECK(score.heard == 0);
  }
}

TEST_CASE("a film's coded sound is heard like the sound itself") {
  const TempDir dir("heard-bounces");
  Scene scene = halved(halved(shipped_scene("short640p60")));
  scene.launcher.feeds = 12;
  scene.launcher.interval_s = {0.9, 0.02};
  scene.film.duration_s = 0;
  scene.sound.present = true;
  scene.sound.offset_s = -0.04;
  std::ignore = simulate(scene, 6, dir / "film.mp4");
  const FilmTicks heard = ticks_of_film(dir / "film.mp4");
  REQUIRE(heard.why_none.empty());
  const Score score = score_of(scene, heard.ticks, 6, 5e-4);
  CHECK(score.seen >= 10);
  CHECK(score.heard >= score.seen - 2);
  CHECK(score.wrong == 0);
  CHECK(score.sd_s < 3e-4);
}

TEST_CASE("a film is measured with its sound, and without it as ever") {
  const TempDir dir("heard-film");
  Scene scene = halved(shipped_scene("short640p60"));
  scene.launcher.feeds = 12;
  scene.launcher.interval_s = {0.9, 0.02};
  scene.film.duration_s = 0;
  scene.sound.present = true;
  scene.sound.offset_s = 0.05;
  scene.sound.speech_below_db = 20;
  const Film film = simulate(scene, 2, dir / "film.mp4");
  const Profile profile = load_profile(profile_of_tree("table-tennis"));
  Bench bench;
  bench.camera = true_camera(scene);
  const auto measured = [&](bool listen) {
    MeasureOptions options;
    options.listen = listen;
    return measure_film(dir / "film.mp4", bench, profile, options).fit;
  };
  const SessionFit seen = measured(false);
  const SessionFit both = measured(true);
  REQUIRE(seen.feeds.size() == film.feeds.size());
  REQUIRE(both.feeds.size() == film.feeds.size());
  const auto sd_ms = [&](const SessionFit& fit) {
    double sum = 0;
    double squares = 0;
    const auto n = static_cast<double>(fit.feeds.size());
    for (std::size_t i = 0; i < fit.feeds.size(); ++i) {
      const double off_ms =
          ms_from_s(fit.feeds[i].t_bounce_s - film.feeds[i].t_bounce_s);
      sum += off_ms / n;
      squares += off_ms * off_ms / n;
    }
    return std::sqrt(squares - sum * sum);
  };
  CAPTURE(both.warnings.size());
  REQUIRE(both.heard);
  CAPTURE(both.heard->why_not);
  MESSAGE("bounce's time: sd " << sd_ms(seen) << " ms seen, " << sd_ms(both)
                               << " heard, " << both.heard->heard << " of "
                               << both.heard->expected);
  CHECK(both.heard->agrees);
  CHECK(both.heard->heard >= 10);
  CHECK(sd_ms(both) < 0.8 * sd_ms(seen));
  CHECK(sd_ms(both) < 0.3);
  CHECK_FALSE(seen.heard);
  for (const Feed& feed : seen.feeds) CHECK(feed.timing == "sight");
}
