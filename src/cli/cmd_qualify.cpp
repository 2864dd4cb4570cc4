// SPDX-License-Identifier: MIT
#include "cli/cmd_qualify.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "cli/job_files.h"
#include "cli/print_qualification.h"
#include "cli/profile_lookup.h"
#include "pipeline/profile.h"
#include "quality/qualification.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {

void QualifyCommand::setup(CLI::App& app) {
  app.add_option(
         "FEEDS",
         feeds_,
         "CSV with a column 'feed', a column per characteristic and, if "
         "the balls are marked, a column 'ball'; "
         "rows in order of time")
      ->required();
  app.add_option("--profile", profile_, "Profile NAME or FILE: the settings")
      ->capture_default_str();
  app.add_option("--characteristics",
                 characteristics_,
                 "Columns to judge, a,b,c; default: those of the profile")
      ->delimiter(',');
  app.add_option("--baseline",
                 baseline_,
                 "Judge against this baseline instead of one from the feeds "
                 "themselves");
  app.add_option("--baseline-out",
                 baseline_out_,
                 "Write the baseline found, for later trials");
  app.add_option(
      "--out", out_, "Tagged feeds to write, CSV; - for standard output");
  app.add_option("--summary", summary_, "Summary to write, JSON");
  app.add_flag("--gate", gate_, "Exit with 3 unless the launcher is ready");
  app.add_flag("--no-limits",
               no_limits_,
               "Ask for stability only: leave out the profile's limits for the "
               "spread");
  app.add_flag("--json", json_, "Print the summary as JSON, nothing else");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int QualifyCommand::run() {
  const std::filesystem::path profile_file = find_profile(profile_);
  JobFiles files;
  files.reads("FEEDS", feeds_);
  files.reads("--profile", profile_file);
  files.reads("--baseline", baseline_);
  files.writes("--out", out_);
  files.writes("--summary", summary_);
  files.writes("--baseline-out", baseline_out_);
  if (json_) files.writes("--json", "-");
  files.check();
  QualityOptions options = load_profile(profile_file).quality;
  if (no_limits_) options = options.without_limits();
  std::optional<Baseline> given;
  std::vector<std::string> wanted = characteristics_;
  if (!baseline_.empty()) {
    given = parse_baseline(read_file(baseline_), baseline_);
    if (wanted.empty()) wanted = given->characteristics;
  }
  const CsvTable feeds = CsvTable::read(feeds_);
  // What the profile lists is judged as far as the file has it.
  const TrialTable trial =
      wanted.empty()
          ? read_trial(feeds, options.characteristics, Wanted::kIfPresent)
          : read_trial(feeds, wanted);
  const Qualification result = qualify(trial, options, given);

  if (!baseline_out_.empty() &&
      (!result.baseline.ok || result.baseline_provisional)) {
    throw InputError("--baseline-out " + baseline_out_,
                     "the launcher was never ready, so there is no baseline",
                     "Feed on until it is, or judge a longer file");
  }
  const std::string summary = summary_text(result);
  if (!out_.empty()) write_output(out_, tagged_text(feeds, result));
  if (!summary_.empty()) write_output(summary_, summary);
  if (!baseline_out_.empty()) {
    write_output(baseline_out_, baseline_text(result.baseline));
  }
  if (json_) {
    fmt::print("{}", summary);
  } else if (!quiet_) {
    const bool taken = is_standard_output(out_) ||
                       is_standard_output(summary_) ||
                       is_standard_output(baseline_out_);
    fmt::print(taken ? stderr : stdout, "{}", qualification_words(result));
  }
  return gate_ && !result.ready ? kExitNotInControl : kExitDone;
}

}  // namespace evenfeed
