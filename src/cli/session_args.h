// SPDX-License-Identifier: MIT
// What 'session' and 'live' ask for alike, and what comes of it before the
// first feed: game, bench, judging, filing and stills.
#pragma once

#include "calibration/calibration.h"
#include "cli/calibration_args.h"
#include "cli/filing_args.h"
#include "cli/judging_args.h"
#include "cli/profile_lookup.h"
#include "cli/sample_args.h"
#include "cli/spin_arg.h"
#include "cli/usual_profile.h"
#include "pipeline/profile.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

class JobFiles;
class StagedFolder;

struct SessionArgs {
  std::string profile = kUsualProfile;
  std::string bench;
  std::string pictures = "all";
  CalibrationArgs calibration;
  SpinArg spin;
  FilingArgs filing;
  JudgingArgs judging;
  SampleArgs sample;

  /// --profile, --bench and what calibrating asks.
  void setup_bench(Arguments& args);
  /// Where to file it, how to judge it, where the sample stands.
  void setup_judging(Arguments& args);
  void setup_pictures(Arguments& args);
  /// Every file of these and of the folder, which `more` are in too.
  void declare(JobFiles& files,
               const NamedText& profile_text,
               const std::string& out,
               const std::vector<std::string_view>& more = {}) const;
  /// The game as the command line has it.
  Profile profile_of(const NamedText& text) const;
  /// A bench from the film, drawn beside what will be written; a refused one's
  /// picture is left in `out`.
  CalibrationResult calibrated(const std::string& film,
                               const Profile& game,
                               const CalibrationOptions& options,
                               const StagedFolder& staged,
                               const std::filesystem::path& out,
                               const VideoOptions& video,
                               ProgressLine& line) const;
};

}  // namespace evenfeed
