// SPDX-License-Identifier: MIT
#include "cli/cmd_qualify.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "cli/csv_input.h"
#include "cli/job_files.h"
#include "cli/print_qualification.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/written_files.h"
#include "pipeline/profile.h"
#include "quality/baseline_file.h"
#include "quality/qualification.h"
#include "quality/summary_file.h"

#include <fmt/format.h>

namespace evenfeed {

void QualifyCommand::setup(Arguments& args) {
  args.add_option(
          "FEEDS",
          feeds_,
          "CSV with a column 'feed', a column per characteristic and, if "
          "the balls are marked, a column 'ball'; "
          "rows in order of time; - for standard input")
      .takes("FILE")
      .required();
  args.add_option("--profile", profile_, "Profile NAME or FILE: the settings")
      .takes("PROFILE")
      .show_default();
  args.add_option("--characteristics",
                  characteristics_,
                  "Columns to judge, a,b,c; default: those of the profile")
      .takes("COLUMNS")
      .comma_separated();
  args.add_option("--baseline-out",
                  baseline_out_,
                  "Write the baseline found, for later trials")
      .takes("FILE");
  args.add_option(
          "--out", out_, "Tagged feeds to write, CSV; - for standard output")
      .takes("FILE");
  args.add_option("--summary", summary_, "Summary to write, JSON")
      .takes("FILE");
  judging_.setup(args);
  args.add_flag("--json", json_, "Print the summary as JSON, nothing else");
  args.add_quiet(quiet_);
}

int QualifyCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("FEEDS", feeds_);
  files.reads("--profile", profile_text.file);
  judging_.declare(files);
  files.writes("--out", out_);
  files.writes("--summary", summary_);
  files.writes("--baseline-out", baseline_out_);
  if (json_) files.writes("--json", "-");
  files.check();
  const Judging judging = judging_.read(load_profile(profile_text).quality);
  std::vector<std::string> wanted = characteristics_;
  if (judging.given && wanted.empty()) wanted = judging.given->characteristics;
  const CsvTable feeds = read_csv_input(feeds_);
  // What the profile lists is judged as far as the file has it.
  const TrialTable trial =
      wanted.empty()
          ? read_trial(
                feeds, judging.options.characteristics, Wanted::kIfPresent)
          : read_trial(feeds, wanted);
  const Qualification result = judged(trial, judging);

  if (!baseline_out_.empty() &&
      (!result.baseline.ok || result.baseline_provisional)) {
    throw InputError("--baseline-out " + baseline_out_,
                     "the launcher was never ready, so there is no baseline",
                     "Feed on until it is, or judge a longer file");
  }
  const std::string summary = summary_text(result);
  write_outputs(
      {{out_, tagged_text(feeds, result)},
       {summary_, summary},
       {baseline_out_,
        baseline_out_.empty() ? "" : baseline_text(result.baseline)}});
  const std::vector<WrittenFile> written{
      {out_, "every feed with its verdict and why"},
      {summary_, "the verdict, for programs"},
      {baseline_out_, "the baseline, for --baseline"}};
  if (json_) {
    fmt::print("{}", json_with_written(summary, written));
  } else if (!quiet_) {
    const bool taken = is_standard_stream(out_) ||
                       is_standard_stream(summary_) ||
                       is_standard_stream(baseline_out_);
    print_words(words_with_written(qualification_words(result), written),
                taken ? stderr : stdout);
  }
  return judging_.exit_code(result);
}

}  // namespace evenfeed
