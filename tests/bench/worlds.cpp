// SPDX-License-Identifier: MIT
// Random benches, measured from sightings with known truth.
//
//   build/tests/bench/worlds [--worlds N] [--first K] [--seed-world K] [--easy]
//
// Every world is drawn from its number alone: camera, calibration, launcher,
// physics of ball and table, what stands at the end, how well balls are seen
// (world.h). --seed-world tells one world feed by feed, errors in own sigmas.
// --easy: worlds in which nothing is hard; there, errors are one sigma or the
// bench is at fault.
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
#include "base/units.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <functional>
#include <string>
#include <vector>

#include "bench/world_score.h"
#include <fmt/format.h>

namespace evenfeed {
namespace {

struct Judged {
  RandomWorld world;
  WorldScore score;
};
using Some = std::vector<const Judged*>;

std::vector<double> of_each(const Some& some,
                            const std::function<double(const WorldScore&)>& f) {
  std::vector<double> all;
  for (const Judged* one : some) all.push_back(f(one->score));
  return finite_only(all);
}

double sum(const Some& some, int WorldScore::*count) {
  double all = 0;
  for (const Judged* one : some) all += one->score.*count;
  return all;
}

double share(const std::vector<double>& all, double low, double high) {
  const auto inside = std::count_if(all.begin(), all.end(), [&](double one) {
    return std::abs(one) >= low && std::abs(one) < high;
  });
  return 100. * static_cast<double>(inside) / static_cast<double>(all.size());
}

void print_quantity(const Some& some, int q) {
  std::vector<double> pooled;
  for (const Judged* one : some) {
    const Errors& errors = one->score.errors[static_cast<std::size_t>(q)];
    if (errors.error.size() < 2) continue;
    const auto each = errors.normalised();
    pooled.insert(pooled.end(), each.begin(), each.end());
  }
  const auto within = of_each(some, [&](auto& s) { return s.within(q); });
  const auto means = of_each(some, [&](auto& s) { return s.mean_error(q); });
  fmt::print(
      "{:12} | {:5} {:8.2f} {:6.2f} {:5.0f} % {:6.1f} | {:8.2f} {:6.2f} "
      "{:4.0f} %\n",
      kWorldQuantity[q].name,
      pooled.size(),
      Errors::rms(pooled),
      median(within),
      share(within, 1.5, 1e99),
      10 * share(pooled, 6, 1e99),
      Errors::rms(means),
      means.empty()
          ? NAN
          : median(of_each(some,
                           [&](auto& s) { return std::abs(s.mean_error(q)); })),
      share(means, 0, 2));
}

void print_group(const std::string& name, const Some& some) {
  if (some.empty()) return;
  const double launches = sum(some, &WorldScore::launches);
  fmt::print(
      "{:18} | {:4} {:5.1f} % {:5.1f} {:5.1f} {:5.1f} |",
      name,
      some.size(),
      100 * sum(some, &WorldScore::found) / sum(some, &WorldScore::bouncing),
      1e3 * sum(some, &WorldScore::false_rows) / launches,
      1e3 * sum(some, &WorldScore::ghost_rows) / launches,
      1e3 * sum(some, &WorldScore::missing) / sum(some, &WorldScore::expected));
  for (const int q : {0, 1, 2, 3, 4, 5}) {
    const auto within = of_each(some, [&](auto& s) { return s.within(q); });
    fmt::print(" {:4.2f} {:3.0f}", median(within), share(within, 1.5, 1e99));
  }
  fmt::print(" |");
  for (const int q : {0, 1, 2, 3}) {
    const auto means = of_each(some, [&](auto& s) { return s.mean_error(q); });
    fmt::print(" {:3.0f}", share(means, 0, 2));
  }
  fmt::print(" | {:3.0f}\n",
             100 * sum(some, &WorldScore::in_ellipse) /
                 sum(some, &WorldScore::landings));
}

struct Group {
  const char* name;
  bool (*has)(const RandomWorld&);
};
constexpr Group kGroups[] = {
    {"all", [](auto&) { return true; }},
    {"20-35 deg", [](auto& w) { return w.view.elevation_deg < 35; }},
    {"35-55 deg",
     [](auto& w) {
       return w.view.elevation_deg >= 35 && w.view.elevation_deg < 55;
     }},
    {"55-75 deg",
     [](auto& w) {
       return w.view.elevation_deg >= 55 && w.view.elevation_deg < 75;
     }},
    {"75-90 deg", [](auto& w) { return w.view.elevation_deg >= 75; }},
    {"topspin > 40", [](auto& w) { return w.topspin_revps > 40; }},
    {"topspin 10-40",
     [](auto& w) { return w.topspin_revps > 10 && w.topspin_revps <= 40; }},
    {"little spin", [](auto& w) { return std::abs(w.topspin_revps) <= 10; }},
    {"backspin 10-40",
     [](auto& w) { return w.topspin_revps < -10 && w.topspin_revps >= -40; }},
    {"backspin > 40", [](auto& w) { return w.topspin_revps < -40; }},
    {"25-30 fps", [](auto& w) { return w.scene.camera.fps <= 30; }},
    {"50-60 fps",
     [](auto& w) {
       return w.scene.camera.fps > 30 && w.scene.camera.fps <= 60;
     }},
    {"100-240 fps", [](auto& w) { return w.scene.camera.fps > 60; }},
    {"3-5 m/s", [](auto& w) { return w.scene.launcher.speed_mps.mean < 5; }},
    {"5-9 m/s",
     [](auto& w) {
       const double speed = w.scene.launcher.speed_mps.mean;
       return speed >= 5 && speed < 9;
     }},
    {"9-15 m/s", [](auto& w) { return w.scene.launcher.speed_mps.mean >= 9; }},
    {"readout known", [](auto& w) { return w.readout_known; }},
    {"readout unknown", [](auto& w) { return !w.readout_known; }},
    {"sample told",
     [](auto& w) { return w.scene.sample.present && w.sample_told; }},
    {"sample not told",
     [](auto& w) { return w.scene.sample.present && !w.sample_told; }},
    {"no sample, box",
     [](auto& w) { return !w.scene.sample.present && w.catch_x_m < 10; }},
    {"no sample, open",
     [](auto& w) { return !w.scene.sample.present && w.catch_x_m > 10; }},
    {"strays seen", [](auto& w) { return w.eyes.strays_per_frame > 0; }},
    {"many (> 0.3)", [](auto& w) { return w.eyes.strays_per_frame > 0.3; }},
    {"outliers", [](auto& w) { return w.eyes.outlier_share > 0; }},
};

void print_all(const std::vector<Judged>& judged) {
  Some all;
  for (const Judged& one : judged) all.push_back(&one);
  fmt::print(
      "\n             | feeds    err/s median  > 1.5    > 6 s |   mean/s "
      "median in 2\n");
  for (int q = 0; q < kWorldQuantities; ++q) print_quantity(all, q);
  fmt::print(
      "false returns: {:.0f}; mis-feeds among the missing: {:.0f} of "
      "{:.0f}\n",
      sum(all, &WorldScore::false_returns),
      sum(all, &WorldScore::missing_misfeeds),
      sum(all, &WorldScore::missing));
  fmt::print(
      "\nmedian err/s and share of worlds above 1.5, session means within 2, "
      "landings in their 95 % ellipse, in %\n"
      "                   |    n  found  false ghost  miss |     x        y    "
      "    t      speed    desc.    kick |   x   y   t  sp | ell.\n");
  for (const Group& group : kGroups) {
    Some some;
    for (const Judged& one : judged) {
      if (group.has(one.world)) some.push_back(&one);
    }
    print_group(group.name, some);
  }
  std::stable_sort(all.begin(), all.end(), [](auto* a, auto* b) {
    return a->score.badness() > b->score.badness();
  });
  fmt::print("\nworst worlds:\n");
  for (std::size_t i = 0; i < std::min<std::size_t>(10, all.size()); ++i) {
    std::string broke;
    const double badness = all[i]->score.badness(&broke);
    if (badness == 0) break;
    fmt::print("{:5} {:5.1f}  {}\n             {}\n",
               all[i]->world.seed,
               badness,
               all[i]->world.words(),
               broke);
  }
}

void print_one(const Judged& one) {
  fmt::print("world {}: {}\n  each feed: errors over own sigma of",
             one.world.seed,
             one.world.words());
  for (const auto& quantity : kWorldQuantity) fmt::print(" {},", quantity.name);
  fmt::print("\n");
  for (const std::string& line : one.score.lines) fmt::print("{}\n", line);
  for (const std::string& line : one.score.warnings) {
    fmt::print("warning: {}\n", line);
  }
  fmt::print("sightings scatter {:.2f} of what they stated\n",
             one.score.sigma_scale);
  for (int q = 0; q < kWorldQuantities; ++q) {
    const Errors& errors = one.score.errors[static_cast<std::size_t>(q)];
    if (errors.error.empty()) continue;
    fmt::print(
        "{:12} {:3} feeds: mean {:8.2f}, own {:7.2f}, s(bench) {:7.2f}; "
        "err/s {:6.2f}, mean/s {:6.2f}\n",
        kWorldQuantity[q].name,
        errors.error.size(),
        mean(errors.error),
        Errors::rms(errors.sigma),
        one.score.common_sigma[static_cast<std::size_t>(q)],
        one.score.within(q),
        one.score.mean_error(q));
  }
  std::string broke;
  one.score.badness(&broke);
  fmt::print("broke: {}\n", broke.empty() ? "nothing" : broke);
}

}  // namespace
}  // namespace evenfeed

int main(int argc, char** argv) {
  using namespace evenfeed;
  std::uint64_t first = 1;
  std::uint64_t worlds = 500;
  bool easy = false;
  bool one_only = false;
  for (int i = 1; i < argc; ++i) {
    const std::string option = argv[i];
    if (option == "--easy") {
      easy = true;
    } else if (i + 1 < argc && option == "--worlds") {
      worlds = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--first") {
      first = std::stoull(argv[++i]);
    } else if (i + 1 < argc && option == "--seed-world") {
      first = std::stoull(argv[++i]);
      one_only = true;
    } else {
      fmt::print("worlds [--worlds N] [--first K] [--seed-world K] [--easy]\n");
      return 2;
    }
  }
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  std::vector<Judged> judged;
  for (std::uint64_t seed = first; seed < first + (one_only ? 1 : worlds);
       ++seed) {
    Judged one{draw_world(profile, seed, easy), {}};
    one.score = measure_world(one.world);
    if (one_only) {
      print_one(one);
    } else {
      judged.push_back(std::move(one));
    }
  }
  if (!one_only) print_all(judged);
}
