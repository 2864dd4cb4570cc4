// SPDX-License-Identifier: MIT
#include "cli/cmd_calibrate.h"

#include "cli/job_files.h"
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
  slow_.setup(app);
  app.add_option("--out", out_, "Bench to write; - for standard output")
      ->capture_default_str();
  app.add_option("--overlay",
                 overlay_,
                 "Picture (.png) of the solved lines over the film's still");
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int CalibrateCommand::run() {
  const std::filesystem::path profile_file = find_profile(profile_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_file);
  calibration_.declare(files);
  files.writes("--out", out_);
  files.writes("--overlay", overlay_);
  files.check();
  const Profile profile = load_profile(profile_file);
  ProgressLine line(quiet_);
  const FilmCalibration calibration =
      calibrate_or_refuse(film_,
                          profile,
                          calibration_.options(profile),
                          overlay_,
                          slow_.video(),
                          line);
  const Bench& bench = calibration.result.bench;
  write_output(out_, bench_text(bench));
  std::FILE* const words = is_standard_output(out_) ? stderr : stdout;
  if (quiet_) return kExitDone;
  fmt::print(words, "{}", bench_words(bench));
  fmt::print(words, "{}", explains_words(calibration.result));
  for (const std::string& warning : calibration.result.warnings) {
    fmt::print(words, "warning: {}\n", warning);
  }
  for (const std::string& note : calibration.notes) {
    fmt::print(words, "warning: {}\n", note);
  }
  return kExitDone;
}

}  // namespace evenfeed
