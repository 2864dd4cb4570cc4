// SPDX-License-Identifier: MIT
// The verdict on every recorded launcher run (open data, not part of this
// project), settings as they come, as a table.
//   EVENFEED_REAL_DATA=DIR build/tests/bench/real_runs
#include "support/real_runs.h"

#include <fmt/format.h>

using namespace evenfeed;

namespace {

std::string verdict(const Qualification& out) {
  if (out.ready) return fmt::format("ready at feed {}", *out.ready_at_feed);
  if (!out.ready_at_feed) return "not ready";
  return fmt::format("ready at feed {}, no longer at the end",
                     *out.ready_at_feed);
}

std::string reason(const Qualification& out) {
  if (out.ready) {
    return fmt::format("stable since feed {}; signals: {}",
                       *out.stable_from_feed,
                       out.signals.size());
  }
  return out.holding_back.front();
}

}  // namespace

int main() {
  if (real_data_folder() == nullptr) {
    fmt::print("EVENFEED_REAL_DATA is not set: nothing judged.\n");
    return 0;
  }
  const CsvTable runs = real_runs_table();
  std::vector<std::string> names;
  for (std::size_t r = 0; r < runs.rows(); ++r) {
    const std::string name = runs.text(r, runs.require_column("run"));
    if (names.empty() || names.back() != name) names.push_back(name);
  }
  fmt::print("| run | feeds | verdict | reason |\n|---|---|---|---|\n");
  for (const std::string& name : names) {
    const Qualification out = qualify(real_run(runs, name), {});
    fmt::print(
        "| {} | {} | {} | {} |\n", name, out.feeds, verdict(out), reason(out));
  }
  return 0;
}
