// SPDX-License-Identifier: MIT
#include "cli/cmd_calibrate.h"

#include "base/error.h"
#include "cli/film_json.h"
#include "cli/job_files.h"
#include "cli/mark_job.h"
#include "cli/print_words.h"
#include "cli/progress_line.h"
#include "cli/shell_words.h"
#include "cli/written_files.h"
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
  args.add_flag("--mark",
                mark_,
                "Do not look for the table: write a page beside the bench on "
                "which its points are marked by hand, for --points");
  args.add_json(json_, "the camera found");
  args.add_quiet(quiet_);
}

int CalibrateCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  if (mark_ && json_) {
    throw UsageError("--json tells of a camera, and --mark finds none");
  }
  if (mark_) return mark(profile_text);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_text.file);
  calibration_.declare(files);
  files.writes("--out", out_);
  files.writes("--overlay", overlay_);
  if (json_) files.writes("--json", "-");
  files.check();
  const Profile profile = load_profile(profile_text);
  ProgressLine line(quiet_ || json_);
  const FilmCalibration calibration =
      calibrate_or_refuse(film_,
                          profile,
                          calibration_.options(profile),
                          {overlay_, overlay_},
                          slow_.video(film_),
                          line);
  const Bench& bench = calibration.result.bench;
  write_output(out_, bench_text(bench));
  const std::vector<WrittenFile> written{
      {out_, "the calibrated camera"},
      {overlay_, "the lines that were found: look whether they fit"}};
  if (json_) {
    std::vector<std::string> warnings = calibration.result.warnings;
    warnings.insert(
        warnings.end(), calibration.notes.begin(), calibration.notes.end());
    fmt::print("{}",
               json_with_written(calibration_json(bench, warnings), written));
    return kExitDone;
  }
  std::FILE* const words = is_standard_stream(out_) ? stderr : stdout;
  if (quiet_) return kExitDone;
  print_words(bench_words(bench), words);
  print_words(explains_words(calibration.result), words);
  for (const std::string& warning : calibration.result.warnings) {
    print_words("warning: " + warning + "\n", words);
  }
  for (const std::string& note : calibration.notes) {
    print_words("warning: " + note + "\n", words);
  }
  print_words(words_with_written("", written), words);
  return kExitDone;
}

std::string CalibrateCommand::command_for(
    const std::filesystem::path& marks) const {
  std::vector<std::string> words{"evenfeed", "calibrate", film_};
  const auto add = [&](const std::vector<std::string>& more) {
    words.insert(words.end(), more.begin(), more.end());
  };
  add({"--profile", profile_});
  add(calibration_.words());
  add(slow_.words());
  add({"--points", marks.string(), "--out", out_});
  if (!overlay_.empty()) add({"--overlay", overlay_});
  return shell_command(words);
}

int CalibrateCommand::mark(const NamedText& profile_text) const {
  MarkJob job;
  job.film = film_;
  job.files = mark_files(out_, film_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_text.file);
  calibration_.declare(files);
  files.writes("--mark", job.files.page);
  files.check();
  const Profile profile = load_profile(profile_text);
  job.options = calibration_.options(profile);
  job.video = slow_.video(film_);
  job.command = command_for(job.files.marks);
  write_mark_page(job, profile);
  if (quiet_) return kExitDone;
  print_words(fmt::format("{}: open it in a browser, mark the points, save "
                          "them as {}, and go on with\n  {}\n",
                          job.files.page.string(),
                          job.files.marks.string(),
                          job.command),
              stdout);
  return kExitDone;
}

}  // namespace evenfeed
