// SPDX-License-Identifier: MIT
// How often a sound session is warned of: seeded launchers that are settled,
// normal and independent, with balls in turn; per kind of warning the share of
// sessions that get it, and the share that get any.
//   warnings [SESSIONS [FEEDS]]     default 1000 sessions of 60 feeds
#include "base/parallel.h"
#include "quality/qualification.h"
#include "support/launcher.h"

#include <cstdio>
#include <string>
#include <vector>

using namespace evenfeed;

namespace {

// A kind of warning: what its words hold.
constexpr const char* kKinds[] = {"each feed follows the one before",
                                  "every second feed differs",
                                  "has become smaller than the baseline's",
                                  "is off: its",
                                  "the balls differ",
                                  "mis-feeds: ",
                                  "could not be measured",
                                  "the measurement accounts for",
                                  "is left out of the joint charts",
                                  "are too few to tell mis-feeds"};
constexpr std::size_t kKindCount = std::size(kKinds);

struct Told {
  std::vector<int> kinds = std::vector<int>(kKindCount + 1, 0);
  bool ready = false;
};

Told judge(int feeds, std::uint64_t seed) {
  SimulatedTrial trial = simulate_trial({}, feeds, 500000 + seed);
  // Half of the sessions name their balls.
  for (int i = 0; i < feeds && seed % 2 == 0; ++i) {
    trial.table.balls.push_back(std::to_string(i % 6 + 1));
  }
  const Qualification out = qualify(trial.table, {});
  Told told;
  told.ready = out.ready;
  for (const std::string& words : out.warnings) {
    std::size_t kind = 0;
    while (kind < kKindCount && words.find(kKinds[kind]) == std::string::npos) {
      ++kind;
    }
    told.kinds[kind] = 1;
  }
  return told;
}

}  // namespace

int main(int argc, char** argv) {
  const int sessions = argc > 1 ? std::stoi(argv[1]) : 1000;
  const int feeds = argc > 2 ? std::stoi(argv[2]) : 60;
  std::vector<Told> all(static_cast<std::size_t>(sessions));
  for_each_index(all.size(), [&](std::size_t k) { all[k] = judge(feeds, k); });
  std::printf(
      "%d sound sessions of %d feeds\n\n| warning | sessions |\n|---|---|\n",
      sessions,
      feeds);
  const auto share = [&](int count) { return 100.0 * count / sessions; };
  int any = 0;
  int ready = 0;
  for (const Told& one : all) {
    int kinds = 0;
    for (const int told : one.kinds) kinds += told;
    any += kinds > 0;
    ready += one.ready;
  }
  for (std::size_t kind = 0; kind <= kKindCount; ++kind) {
    int count = 0;
    for (const Told& one : all) count += one.kinds[kind];
    std::printf("| %s | %.1f %% |\n",
                kind < kKindCount ? kKinds[kind] : "any other",
                share(count));
  }
  std::printf("| any | %.1f %% |\n\nready at the end: %.1f %%\n",
              share(any),
              share(ready));
  return 0;
}
