// SPDX-License-Identifier: MIT
#include "cli/cmd_calibrate.h"

#include "cli/job_files.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/progress_line.h"
#include "pipeline/profile.h"

#include <fmt/format.h>

namespace evenfeed {

void CalibrateCommand::setup(Arguments& args) {
  args.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      .takes("FILE")
      .required();
  args.add_option("--profile", profile_, "Profile NAME or FILE: the surface")
      .takes("PROFILE")
      .show_default();
  calibration_.setup(args);
  slow_.setup(args);
  args.add_option("--out", out_, "Bench to write; - for standard output")
      .takes("FILE")
      .show_default();
  args.add_option("--overlay",
                  overlay_,
                  "Picture (.png) of the solved lines over the film's still")
      .takes("FILE");
  args.add_quiet(quiet_);
}

int CalibrateCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_text.file);
  calibration_.declare(files);
  files.writes("--out", out_);
  files.writes("--overlay", overlay_);
  files.check();
  const Profile profile = load_profile(profile_text);
  ProgressLine line(quiet_);
  const FilmCalibration calibration =
      calibrate_or_refuse(film_,
                          profile,
                          calibration_.options(profile),
                          {overlay_, overlay_},
                          slow_.video(film_),
                          line);
  const Bench& bench = calibration.result.bench;
  write_output(out_, bench_text(bench));
  std::FILE* const words = is_standard_output(out_) ? stderr : stdout;
  if (quiet_) return kExitDone;
  print_words(bench_words(bench), words);
  print_words(explains_words(calibration.result), words);
  for (const std::string& warning : calibration.result.warnings) {
    print_words("warning: " + warning + "\n", words);
  }
  for (const std::string& note : calibration.notes) {
    print_words("warning: " + note + "\n", words);
  }
  return kExitDone;
}

}  // namespace evenfeed
