// SPDX-License-Identifier: MIT
#include "bench/world_tables.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>

#include <fmt/format.h>

namespace evenfeed {
namespace {

using Some = std::vector<const JudgedWorld*>;

std::vector<double> of_each(const Some& some,
                            const std::function<double(const WorldScore&)>& f) {
  std::vector<double> all;
  for (const JudgedWorld* one : some) all.push_back(f(one->score));
  return finite_only(all);
}

double sum(const Some& some, int WorldScore::*count) {
  double all = 0;
  for (const JudgedWorld* one : some) all += one->score.*count;
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
  for (const JudgedWorld* one : some) {
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
  bool (*has)(const RandomWorld&, const WorldScore&);
};
constexpr Group kGroups[] = {
    {"all", [](auto&, auto&) { return true; }},
    {"20-35 deg", [](auto& w, auto&) { return w.view.elevation_deg < 35; }},
    {"35-55 deg",
     [](auto& w, auto&) {
       return w.view.elevation_deg >= 35 && w.view.elevation_deg < 55;
     }},
    {"55-75 deg",
     [](auto& w, auto&) {
       return w.view.elevation_deg >= 55 && w.view.elevation_deg < 75;
     }},
    {"75-90 deg", [](auto& w, auto&) { return w.view.elevation_deg >= 75; }},
    {"topspin > 40", [](auto& w, auto&) { return w.topspin_revps > 40; }},
    {"topspin 10-40",
     [](auto& w, auto&) {
       return w.topspin_revps > 10 && w.topspin_revps <= 40;
     }},
    {"little spin",
     [](auto& w, auto&) { return std::abs(w.topspin_revps) <= 10; }},
    {"backspin 10-40",
     [](auto& w, auto&) {
       return w.topspin_revps < -10 && w.topspin_revps >= -40;
     }},
    {"backspin > 40", [](auto& w, auto&) { return w.topspin_revps < -40; }},
    {"25-30 fps", [](auto& w, auto&) { return w.scene.camera.fps <= 30; }},
    {"50-60 fps",
     [](auto& w, auto&) {
       return w.scene.camera.fps > 30 && w.scene.camera.fps <= 60;
     }},
    {"100-240 fps", [](auto& w, auto&) { return w.scene.camera.fps > 60; }},
    {"3-5 m/s",
     [](auto& w, auto&) { return w.scene.launcher.speed_mps.mean < 5; }},
    {"5-9 m/s",
     [](auto& w, auto&) {
       const double speed = w.scene.launcher.speed_mps.mean;
       return speed >= 5 && speed < 9;
     }},
    {"9-15 m/s",
     [](auto& w, auto&) { return w.scene.launcher.speed_mps.mean >= 9; }},
    {"readout known", [](auto& w, auto&) { return w.readout_known; }},
    {"readout unknown", [](auto& w, auto&) { return !w.readout_known; }},
    {"sample told",
     [](auto& w, auto&) { return w.scene.sample.present && w.sample_told; }},
    {"sample not told",
     [](auto& w, auto&) { return w.scene.sample.present && !w.sample_told; }},
    {"no sample, box",
     [](auto& w, auto&) {
       return !w.scene.sample.present && w.catch_x_m < 10;
     }},
    {"no sample, open",
     [](auto& w, auto&) {
       return !w.scene.sample.present && w.catch_x_m > 10;
     }},
    {"seen to fall", [](auto&, auto& s) { return 2 * s.falling > s.launches; }},
    {"not seen to fall",
     [](auto&, auto& s) { return 2 * s.falling <= s.launches; }},
    {"strays seen", [](auto& w, auto&) { return w.eyes.strays_per_frame > 0; }},
    {"many (> 0.3)",
     [](auto& w, auto&) { return w.eyes.strays_per_frame > 0.3; }},
    {"outliers", [](auto& w, auto&) { return w.eyes.outlier_share > 0; }},
};

}  // namespace

void print_worlds(const std::vector<JudgedWorld>& judged) {
  Some all;
  for (const JudgedWorld& one : judged) all.push_back(&one);
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
    for (const JudgedWorld& one : judged) {
      if (group.has(one.world, one.score)) some.push_back(&one);
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

void print_world(const JudgedWorld& one) {
  fmt::print("world {}: {}\n  each feed: errors over own sigma of",
             one.world.seed,
             one.world.words());
  for (const auto& quantity : kWorldQuantity) fmt::print(" {},", quantity.name);
  fmt::print("\n");
  for (const std::string& line : one.score.lines) fmt::print("{}\n", line);
  for (const std::string& line : one.score.warnings) {
    fmt::print("warning: {}\n", line);
  }
  for (const SharedQuantity& shared : one.score.shared) {
    fmt::print("{}: {:.4f} +- {:.4f} {}, believed {:.4f} +- {:.4f}\n",
               shared.name,
               shared.after.mean,
               shared.after.sd,
               shared.unit,
               shared.before.mean,
               shared.before.sd);
  }
  const BallPhysics& ball = one.world.scene.ball;
  fmt::print("truly: drag {:.3f}, restitution {:.3f}, friction {:.2f}\n",
             ball.drag_coefficient,
             ball.restitution,
             ball.friction);
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

}  // namespace evenfeed
