// SPDX-License-Identifier: MIT
// Random benches, measured from sightings with known truth.
//
//   build/tests/bench/worlds [--worlds N] [--first K] [--seed-world K] [--easy]
//                           [--file]
//
// Every world is drawn from its number alone: camera, calibration, launcher,
// physics of ball and table, what stands at the end, how well balls are seen
// (world.h). --seed-world tells one world feed by feed, errors in own sigmas.
// --easy: worlds in which nothing is hard; there, errors are one sigma or the
// bench is at fault. --file: through measure_sightings, which has to find the
// frames from the times, where otherwise frames are given one by one as a film
// gives them.
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
#include <exception>
#include <string>
#include <vector>

#include "bench/world_tables.h"
#include <fmt/format.h>

int main(int argc, char** argv) {
  using namespace evenfeed;
  std::uint64_t first = 1;
  std::uint64_t worlds = 500;
  bool easy = false;
  bool one_only = false;
  bool as_file = false;
  for (int i = 1; i < argc; ++i) {
    const std::string option = argv[i];
    if (option == "--easy") {
      easy = true;
    } else if (option == "--file") {
      as_file = true;
    } else if (i + 1 < argc && option == "--worlds") {
      worlds = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--first") {
      first = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--seed-world") {
      first = std::stoull(argv[++i]);
      one_only = true;
    } else {
      fmt::print(
          "worlds [--worlds N] [--first K] [--seed-world K] [--easy] "
          "[--file]\n");
      return 2;
    }
  }
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  std::vector<JudgedWorld> judged;
  for (std::uint64_t seed = first; seed < first + (one_only ? 1 : worlds);
       ++seed) {
    JudgedWorld one{draw_world(profile, seed, easy), {}};
    try {
      one.score = measure_world(one.world, as_file);
    } catch (const std::exception& error) {
      fmt::print("world {} THREW: {}\n", seed, error.what());
      continue;
    }
    if (one_only) {
      print_world(one);
    } else {
      judged.push_back(std::move(one));
    }
  }
  if (!one_only) print_worlds(judged);
}
