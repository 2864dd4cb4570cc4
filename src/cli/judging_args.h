// SPDX-License-Identifier: MIT
// How feeds are judged beyond what the profile says: by a baseline of another
// day, without limits, with verdicts of one's own, and what a launcher that is
// not ready means for the exit code.
#pragma once

#include "base/csv.h"
#include "cli/arguments.h"
#include "cli/job_files.h"
#include "quality/baseline.h"
#include "quality/qualification.h"

#include <optional>
#include <string>

namespace evenfeed {

/// What the options name, read: before any long work, which a file that cannot
/// be read would waste.
struct Judging {
  QualityOptions options;
  std::optional<Baseline> given;
  std::optional<CsvTable> by_hand;
};

class JudgingArgs {
 public:
  void setup(Arguments& args);
  void declare(JobFiles& files) const;
  /// Throws InputError naming the file.
  Judging read(const QualityOptions& of_profile) const;
  int exit_code(const Qualification& result) const;

 private:
  std::string baseline_;
  std::string overrule_;
  bool gate_ = false;
  bool no_limits_ = false;
};

/// Judges by all of it; verdicts by hand stand.
Qualification judged(const TrialTable& trial, const Judging& judging);

}  // namespace evenfeed
