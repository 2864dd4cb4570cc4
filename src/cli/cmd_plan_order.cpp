// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_order.h"

#include "base/atomic_file.h"
#include "base/file_set.h"
#include "cli/filing_args.h"
#include "cli/job_files.h"
#include "report/order_sheet.h"

#include <filesystem>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string order_words(const std::vector<PlannedTrial>& plan) {
  std::string text;
  int block = -1;
  for (const PlannedTrial& trial : plan) {
    const bool counted = trial.purpose == FeedPurpose::kTrial;
    // A line per block, and one per stretch without a sample.
    const int line = counted                                 ? trial.block
                     : trial.purpose == FeedPurpose::kWarmUp ? 0
                                                             : -2;
    if (line != block) {
      text += fmt::format("{}{:>5}  {:<9}",
                          text.empty() ? "" : "\n",
                          trial.order,
                          purpose_name(trial.purpose));
      block = line;
    }
    text += counted ? " " + trial.sample : " .";
  }
  return text + "\n";
}

}  // namespace

void PlanOrderCommand::setup(CLI::App& app) {
  app.add_option("--samples", options_.samples, "Names of the samples, K,M")
      ->delimiter(',')
      ->required();
  app.add_option(
         "--trials", options_.trials, "Per sample; rounded up to whole blocks")
      ->capture_default_str();
  app.add_option("--turn", options_.turn, "Feeds in a row on one sample")
      ->capture_default_str();
  app.add_option("--warm-up", options_.warm_up, "Feeds before the first trial")
      ->capture_default_str();
  app.add_option("--recheck",
                 options_.recheck,
                 "Feeds of the launcher alone, now and then and at the end")
      ->capture_default_str();
  app.add_option("--recheck-every",
                 options_.recheck_every,
                 "Trials between them, at least")
      ->capture_default_str();
  app.add_option("--balls", options_.balls, "Balls that go round")
      ->capture_default_str();
  app.add_option("--seed", options_.seed, "The same seed gives the same order")
      ->capture_default_str();
  app.add_option("--out", out_, "Folder for order.csv and order.html");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int PlanOrderCommand::run() {
  JobFiles files;
  files.writes_in("--out", out_, {"order.csv", "order.html"});
  files.check();
  for (const std::string& name : options_.samples) {
    require_plain_name(name, "--samples");
  }
  const std::vector<PlannedTrial> plan = plan_order(options_);
  if (!out_.empty()) {
    const std::filesystem::path out(out_);
    make_folder(out);
    write_files_whole({{out / "order.csv", order_text(plan)},
                       {out / "order.html", order_sheet(options_, plan)}});
  }
  if (!quiet_) fmt::print("{}", order_words(plan));
  return kExitDone;
}

}  // namespace evenfeed
