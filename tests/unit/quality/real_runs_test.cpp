// SPDX-License-Identifier: MIT
// Recorded launcher runs (open data, not part of this project): the folder
// with runs.csv is named by EVENFEED_REAL_DATA.
#include "quality/qualification.h"

#include <cstdlib>
#include <filesystem>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const char* folder() { return std::getenv("EVENFEED_REAL_DATA"); }

Qualification judge_run(const std::string& run) {
  const CsvTable runs =
      CsvTable::read(std::filesystem::path(folder()) / "runs.csv");
  const std::vector<std::string> names{"along_mm", "lateral_mm", "speed_mps"};
  CsvWriter one({"feed", names[0], names[1], names[2]});
  int feed = 0;
  for (std::size_t r = 0; r < runs.rows(); ++r) {
    if (runs.text(r, runs.require_column("run")) != run) continue;
    std::vector<std::string> row{std::to_string(++feed)};
    for (const auto& name : names) {
      row.push_back(runs.text(r, runs.require_column(name)));
    }
    one.add_row(row);
  }
  return qualify(read_trial(CsvTable::parse(one.text(), run), names), {});
}

bool skipped() {
  if (folder() != nullptr) return false;
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
