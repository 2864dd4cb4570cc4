// SPDX-License-Identifier: MIT
// Verdicts on recorded launcher runs; tests/bench/real_runs tells all of them.
#include "support/real_runs.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Qualification judge_run(const std::string& run) {
  return qualify(real_run(real_runs_table(), run), {});
}

bool skipped() {
  if (real_data_folder() != nullptr) return false;
  MESSAGE("skipped: EVENFEED_REAL_DATA is not set");
  return true;
}

}  // namespace

TEST_CASE("real runs: a wheel launcher that is ready") {
  if (skipped()) return;
  const Qualification out = judge_run("wheels_nospin_1140");
  CHECK(out.feeds == 48);
  CHECK(out.ready);
  CHECK(out.signals.empty());
}

TEST_CASE("real runs: an air gun that drifts in landing length") {
  if (skipped()) return;
  const Qualification out = judge_run("gun_2019_10");
  CHECK(out.feeds == 97);
  CHECK_FALSE(out.ready);
  REQUIRE_FALSE(out.holding_back.empty());
  CHECK(out.holding_back[0].find("along_mm") == 0);
}

TEST_CASE("real runs: too few feeds to tell") {
  if (skipped()) return;
  const Qualification out = judge_run("gun_2019_07_a");
  CHECK_FALSE(out.ready);
  CHECK(out.holding_back[0].find("too few feeds to tell: 9") == 0);
}
