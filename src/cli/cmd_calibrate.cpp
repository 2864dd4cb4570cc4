// SPDX-License-Identifier: MIT
#include "cli/cmd_calibrate.h"

#include "base/atomic_file.h"
#include "cli/profile_lookup.h"
#include "cli/progress_line.h"
#include "pipeline/profile.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {

void CalibrateCommand::setup(CLI::App& app) {
  app.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      ->required();
  app.add_option("--profile", profile_, "Profile NAME or FILE: the surface")
      ->capture_default_str();
  calibration_.setup(app);
  app.add_option("--out", out_, "Bench to write")->capture_default_str();
  app.add_option("--overlay",
                 overlay_,
                 "Picture (.png) of the solved lines over the film's still");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int CalibrateCommand::run() {
  const Profile profile = load_profile(find_profile(profile_));
  ProgressLine line(quiet_);
  const Bench bench = calibrate_or_refuse(
      film_, profile, calibration_.options(profile), overlay_, line);
  write_file_whole(out_, bench_text(bench));
  if (!quiet_) fmt::print("{}", bench_words(bench));
  return kExitDone;
}

}  // namespace evenfeed
