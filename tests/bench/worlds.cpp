// SPDX-License-Identifier: MIT
// Random benches, measured from sightings with known truth.
//
//   build/tests/bench/worlds [--worlds N] [--first K] [--seed-world K] [--easy]
//                           [--file] [--films FOLDER] [--views]
//
// Every world is drawn from its number alone: camera, calibration, launcher,
// physics of ball and table, what stands at the end, how well balls are seen
// (world.h). --seed-world tells one world feed by feed, errors in own sigmas.
// --easy: worlds in which nothing is hard; there, errors are one sigma or the
// bench is at fault. --file: through measure_sightings, which has to find the
// frames from the times, where otherwise frames are given one by one as a film
// gives them.
//
// --films: rendered in FOLDER, where they stay (those that are there are not
// rendered again: take them away when what is drawn has changed), and measured
// with their detector, 8 feeds each (world_film.h), told feed by feed. --views:
// the empty hall of each is calibrated (world_view.h), told only at which end
// the launcher stands.
//
// Prints how many bounces are found (of feeds seen 4 times before and after
// it), rows that are false (measured where no feed bounced), ghosts (not
// measured, and nothing was thrown) and launches without a row (of those seen 8
// times). Then, for each quantity,
//   err/s        rms over all worlds of (error - session mean) / own sigma
//   median       over the worlds of the same of each world
//   > 1.5        share of worlds where it is more
//   > 6 s        feeds per 1000 that are off by more than 6 sigmas
//   mean/s       rms of the session's mean error over s(bench) and own
//                sigma / root n;  in 2: share of worlds within 2
// the same groups by groups, and the worst worlds.
#include "bench/world_film.h"
#include "bench/world_tables.h"
#include "bench/world_view.h"

#include <cstdio>
#include <exception>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace {

using namespace evenfeed;

struct Asked {
  std::uint64_t first = 1;
  std::uint64_t worlds = 500;
  bool easy = false;
  bool one_only = false;
  bool as_file = false;
  bool views = false;
  std::string films;  // folder to render in; empty: sightings
};

std::optional<Asked> asked_of(int argc, char** argv) {
  Asked asked;
  for (int i = 1; i < argc; ++i) {
    const std::string option = argv[i];
    if (option == "--easy") {
      asked.easy = true;
    } else if (option == "--file") {
      asked.as_file = true;
    } else if (option == "--views") {
      asked.views = true;
    } else if (i + 1 < argc && option == "--films") {
      asked.films = argv[++i];
    } else if (i + 1 < argc && option == "--worlds") {
      asked.worlds = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--first") {
      asked.first = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--seed-world") {
      asked.first = std::stoull(argv[++i]);
      asked.worlds = 1;
      asked.one_only = true;
    } else {
      return std::nullopt;
    }
  }
  return asked;
}

JudgedWorld judged_world(const Asked& asked,
                         const Profile& profile,
                         std::uint64_t seed) {
  if (asked.films.empty()) {
    JudgedWorld one{draw_world(profile, seed, asked.easy), {}};
    one.score = measure_world(one.world, asked.as_file);
    return one;
  }
  JudgedWorld one{draw_film_world(profile, seed), {}};
  const FilmScore film = measure_world_film(one.world, asked.films);
  one.score = film.score;
  const double badness = one.score.badness();
  fmt::print("{:4} {:5.1f} found {} of {}, {} false, {} ghosts  {}\n",
             seed,
             badness,
             one.score.found,
             one.score.bouncing,
             one.score.false_rows,
             one.score.ghost_rows,
             one.world.words());
  print_world(one);
  fmt::print("{} sightings are {:.2f} px off, {:.2f} of what is stated\n",
             film.seen.sightings,
             film.seen.off_px,
             film.seen.off_in_sigmas);
  std::fflush(stdout);
  return one;
}

void measure_worlds(const Asked& asked, const Profile& profile) {
  std::vector<JudgedWorld> judged;
  for (std::uint64_t i = 0; i < asked.worlds; ++i) {
    const std::uint64_t seed = asked.first + i;
    try {
      JudgedWorld one = judged_world(asked, profile, seed);
      if (asked.one_only) print_world(one);
      judged.push_back(std::move(one));
    } catch (const std::exception& error) {
      fmt::print("world {} THREW: {}\n", seed, error.what());
    }
  }
  if (!asked.one_only) print_worlds(judged);
}

void calibrate_worlds(const Asked& asked, const Profile& profile) {
  static const char* const kKinds[] = {"right", "rough", "refused", "WRONG"};
  int counts[4] = {};
  for (std::uint64_t i = 0; i < asked.worlds; ++i) {
    const std::uint64_t seed = asked.first + i;
    const RandomWorld world = draw_film_world(profile, seed);
    const ViewScore score = calibrate_world(world);
    const auto kind = static_cast<std::size_t>(score.kind);
    ++counts[kind];
    fmt::print(
        "{:4} {:7} corners {:6.1f} mm, focal {:5.1f} s, eye {:4.1f} s  "
        "{:.0f} deg from {:.0f}, {}x{}, k1 {:.2f}  {}\n",
        seed,
        kKinds[kind],
        1e3 * score.worst_corner_m,
        score.focal_sigmas,
        score.eye_sigmas,
        world.view.elevation_deg,
        world.view.azimuth_deg,
        world.scene.camera.model.width_px,
        world.scene.camera.model.height_px,
        world.scene.camera.model.lens.k1,
        score.said.substr(0, 100));
    std::fflush(stdout);
  }
  for (int k = 0; k < 4; ++k) fmt::print("{} {}  ", kKinds[k], counts[k]);
  fmt::print("\n");
}

}  // namespace

int main(int argc, char** argv) {
  const std::optional<Asked> asked = asked_of(argc, argv);
  if (!asked) {
    fmt::print(
        "worlds [--worlds N] [--first K] [--seed-world K] [--easy] [--file] "
        "[--films FOLDER] [--views]\n");
    return 2;
  }
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  if (asked->views) {
    calibrate_worlds(*asked, profile);
  } else {
    measure_worlds(*asked, profile);
  }
}
