// SPDX-License-Identifier: MIT
#include "cli/judging_args.h"

#include "base/atomic_file.h"
#include "cli/command.h"
#include "cli/overrule.h"
#include "quality/baseline_file.h"

namespace evenfeed {

void JudgingArgs::setup(Arguments& args) {
  args.add_option("--baseline",
                  baseline_,
                  "Judge against this baseline (qualify --baseline-out) "
                  "instead of one from the feeds themselves")
      .takes("FILE");
  args.add_option("--overrule",
                  overrule_,
                  "Verdicts of one's own, CSV: feed,verdict,note; they stand, "
                  "and are told as such")
      .takes("FILE");
  args.add_flag("--gate", gate_, "Exit with 3 unless the launcher is ready");
  args.add_flag("--no-limits",
                no_limits_,
                "Ask for stability only: leave out the profile's limits for "
                "the spread");
}

void JudgingArgs::declare(JobFiles& files) const {
  files.reads("--baseline", baseline_);
  files.reads("--overrule", overrule_);
}

Judging JudgingArgs::read(const QualityOptions& of_profile) const {
  Judging judging;
  judging.options = no_limits_ ? of_profile.without_limits() : of_profile;
  if (!baseline_.empty()) {
    judging.given = parse_baseline(read_file(baseline_), baseline_);
  }
  if (!overrule_.empty()) {
    judging.by_hand = CsvTable::read(overrule_);
    check_overrules(*judging.by_hand);  // before the film is measured
  }
  return judging;
}

int JudgingArgs::exit_code(const Qualification& result) const {
  return gate_ && !result.ready ? kExitNotInControl : kExitDone;
}

Qualification judged(const TrialTable& trial, const Judging& judging) {
  Qualification result = qualify(trial, judging.options, judging.given);
  if (judging.by_hand) overrule(result, *judging.by_hand);
  return result;
}

}  // namespace evenfeed
