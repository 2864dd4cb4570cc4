// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_order.h"

#include "base/atomic_file.h"
#include "base/broken_lines.h"
#include "base/counted.h"
#include "base/file_set.h"
#include "cli/filing_args.h"
#include "cli/job_files.h"
#include "cli/plan_json.h"
#include "cli/print_words.h"
#include "cli/written_files.h"
#include "report/order_sheet.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string order_words(const std::vector<PlannedTrial>& plan) {
  constexpr std::size_t kColumns = 80, kIndent = 16;
  std::string text;
  int block = -1;
  std::size_t column = 0;
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
      column = kIndent;
    }
    const std::string word = counted ? " " + trial.sample : " .";
    if (column > kIndent && column + characters(word) > kColumns) {
      text += "\n" + std::string(kIndent, ' ');
      column = kIndent;
    }
    text += word;
    column += characters(word);
  }
  return text + "\n";
}

std::vector<const PlannedTrial*> trials_of(
    const std::vector<PlannedTrial>& plan) {
  std::vector<const PlannedTrial*> trials;
  for (const PlannedTrial& one : plan) {
    if (one.purpose == FeedPurpose::kTrial) trials.push_back(&one);
  }
  return trials;
}

// How many feeds lie between a trial and the nearest one of another sample, on
// average: what drifts meanwhile stays in the difference between the two.
double mean_gap(const std::vector<PlannedTrial>& plan) {
  const auto trials = trials_of(plan);
  double sum = 0;
  for (const PlannedTrial* one : trials) {
    int nearest = static_cast<int>(plan.size());
    for (const PlannedTrial* other : trials) {
      if (other->sample == one->sample) continue;
      nearest = std::min(nearest, std::abs(other->order - one->order));
    }
    sum += nearest;
  }
  return sum / static_cast<double>(trials.size());
}

int changes_of_sample(const std::vector<PlannedTrial>& plan) {
  const auto trials = trials_of(plan);
  int changes = 0;
  for (std::size_t i = 1; i < trials.size(); ++i) {
    changes += trials[i]->sample != trials[i - 1]->sample;
  }
  return changes;
}

// What turns cost and save beside an order that changes all the time.
std::string cost_words(const OrderOptions& options,
                       const std::vector<PlannedTrial>& plan) {
  OrderOptions one_by_one = options;
  one_by_one.turn = 1;
  const std::vector<PlannedTrial> other = plan_order(one_by_one);
  std::string text = fmt::format(
      "{}; the nearest trial of another sample is {:.1f} feeds away on "
      "average: a\nlauncher that drifts by so much in between bends the pair "
      "by it\n",
      counted(changes_of_sample(plan), "change of sample", "changes of sample"),
      mean_gap(plan));
  if (options.turn > 1) {
    text += fmt::format("(--turn 1: {}, {:.1f} feeds away)\n",
                        counted(changes_of_sample(other), "change", "changes"),
                        mean_gap(other));
  }
  return text;
}

}  // namespace

void PlanOrderCommand::setup(Arguments& args) {
  args.add_option("--samples", options_.samples, "Names of the samples, K,M")
      .takes("NAMES")
      .comma_separated()
      .required();
  args.add_option(
          "--trials", options_.trials, "Per sample; rounded up to whole blocks")
      .show_default();
  args.add_option("--turn", options_.turn, "Feeds in a row on one sample")
      .show_default();
  args.add_option("--warm-up", options_.warm_up, "Feeds before the first trial")
      .show_default();
  args.add_option("--recheck",
                  options_.recheck,
                  "Feeds of the launcher alone, now and then and at the end")
      .show_default();
  args.add_option("--recheck-every",
                  options_.recheck_every,
                  "Trials between them, at least")
      .show_default();
  args.add_option("--balls", options_.balls, "Balls that go round")
      .show_default();
  args.add_option("--seed", options_.seed, "The same seed gives the same order")
      .show_default();
  args.add_option("--out", out_, "Folder for order.csv and order.html")
      .takes("FOLDER");
  args.add_json(json_, "the order");
  args.add_quiet(quiet_);
}

int PlanOrderCommand::run() {
  JobFiles files;
  files.writes_in("--out", out_, {"order.csv", "order.html"});
  files.check();
  for (const std::string& name : options_.samples) {
    require_plain_name(name, "--samples");
  }
  const std::vector<PlannedTrial> plan = plan_order(options_);
  std::vector<WrittenFile> written;
  if (!out_.empty()) {
    const std::filesystem::path out(out_);
    const OutputFolder folder(out);
    write_files_whole({{out / "order.csv", order_text(plan)},
                       {out / "order.html", order_sheet(options_, plan)}});
    written = {{out / "order.html", "the sheet: print it, tick it"},
               {out / "order.csv", "the same for 'pair --order'"}};
  }
  if (json_) {
    fmt::print("{}",
               json_with_written(
                   order_json(plan, changes_of_sample(plan), mean_gap(plan)),
                   written));
  } else if (!quiet_) {
    print_words(words_with_written(
        order_words(plan) + "\n" + cost_words(options_, plan), written));
  }
  return kExitDone;
}

}  // namespace evenfeed
