// SPDX-License-Identifier: MIT
#include "cli/cmd_plan_charts.h"

#include "base/csv.h"
#include "charts/chart_plan.h"
#include "cli/job_files.h"
#include "cli/plan_json.h"
#include "cli/print_words.h"
#include "cli/written_files.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string run_length_words(double run_length) {
  return run_length < 100 ? fmt::format("{:.2f}", run_length)
                          : fmt::format("{:.1f}", run_length);
}

std::string limits_words(const ChartPlan& plan) {
  std::string text = fmt::format("{:<14}{:>8}{:>9}{:>9}  {}\n",
                                 "chart",
                                 "centre",
                                 "warning",
                                 "action",
                                 "of");
  for (const auto* list : {&plan.of_mean, &plan.of_spread}) {
    for (const PlannedChart& one : *list) {
      text += fmt::format("{:<14}{:>8g}{:>9.4f}{:>9.4f}  {}\n",
                          one.name,
                          one.centre,
                          one.warning,
                          one.action,
                          one.statistic);
    }
  }
  return text;
}

std::string lengths_words(const std::string& what,
                          const std::vector<double>& changes,
                          const std::vector<PlannedChart>& charts) {
  std::string text = fmt::format("{:<14}", what);
  for (const double one : changes) text += fmt::format("{:>9g}", one);
  text += "\n";
  for (const PlannedChart& one : charts) {
    text += fmt::format("{:<14}", one.name);
    for (const double value : one.run_lengths) {
      text += fmt::format("{:>9}", run_length_words(value));
    }
    text += "\n";
  }
  return text;
}

std::string plan_words(const ChartPlanOptions& options, const ChartPlan& plan) {
  return fmt::format(
      "Limits for an in-control run length of {:g} feeds per chart (lambda "
      "{:g}, CUSUM k {:g}, {} characteristics in the joint charts)\n\n{}\n"
      "Mean run length, feeds, by shift of the mean in sd (joint charts: in "
      "Mahalanobis distance)\n\n{}\n"
      "The same by growth of the spread, sd over sd in control\n\n{}",
      options.run_length,
      options.lambda,
      options.cusum_k,
      options.characteristics,
      limits_words(plan),
      lengths_words("shift", options.shifts, plan.of_mean),
      lengths_words("growth", options.growths, plan.of_spread));
}

std::string plan_csv(const ChartPlanOptions& options, const ChartPlan& plan) {
  CsvWriter out(
      {"chart", "centre", "warning", "action", "change", "size", "run_length"});
  const auto add = [&](const std::string& change,
                       const std::vector<double>& sizes,
                       const std::vector<PlannedChart>& charts) {
    for (const PlannedChart& one : charts) {
      for (std::size_t i = 0; i < sizes.size(); ++i) {
        out.add_row({one.name,
                     csv_number(one.centre, 6),
                     csv_number(one.warning, 6),
                     csv_number(one.action, 6),
                     change,
                     csv_number(sizes[i], 4),
                     csv_number(one.run_lengths[i], 4)});
      }
    }
  };
  add("shift_sd", options.shifts, plan.of_mean);
  add("sd_ratio", options.growths, plan.of_spread);
  return out.text();
}

}  // namespace

void PlanChartsCommand::setup(Arguments& args) {
  args.add_option("--run-length",
                  run_length_,
                  "Feeds between false alarms of each chart, 20 to 100000")
      .show_default();
  args.add_option("--lambda",
                  lambda_,
                  "Weight of the newest feed in EWMA and MEWMA, 0.02 to 1")
      .show_default();
  args.add_option("--cusum-k",
                  cusum_k_,
                  "Reference value of the CUSUM: half the shift sought, in sd")
      .show_default();
  args.add_option("--characteristics",
                  characteristics_,
                  "Characteristics of the joint charts, 1 to 20")
      .show_default();
  args.add_option("--shifts", shifts_, "Shifts of the mean, in sd: a,b,c")
      .comma_separated()
      .show_default();
  args.add_option("--growths", growths_, "Growths of the spread: a,b,c")
      .comma_separated()
      .show_default();
  args.add_option(
          "--out", out_, "Limits and run lengths as CSV; - for standard output")
      .takes("FILE");
  args.add_json(json_, "limits and run lengths");
  args.add_quiet(quiet_);
}

int PlanChartsCommand::run() {
  JobFiles files;
  files.writes("--out", out_);
  if (json_) files.writes("--json", "-");
  files.check();
  ChartPlanOptions options;
  options.run_length = run_length_;
  options.lambda = lambda_;
  options.characteristics = characteristics_;
  options.cusum_k = cusum_k_;
  options.shifts = shifts_;
  options.growths = growths_;
  const ChartPlan plan = plan_charts(options);
  if (!out_.empty()) write_output(out_, plan_csv(options, plan));
  const std::vector<WrittenFile> written{{out_, "the charts, as numbers"}};
  std::FILE* const words = is_standard_stream(out_) ? stderr : stdout;
  if (json_) {
    fmt::print("{}", json_with_written(charts_json(options, plan), written));
  } else if (!quiet_) {
    print_words(words_with_written(plan_words(options, plan), written), words);
  }
  return kExitDone;
}

}  // namespace evenfeed
