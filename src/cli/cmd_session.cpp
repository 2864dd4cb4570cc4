// SPDX-License-Identifier: MIT
#include "cli/cmd_session.h"

#include "base/file_set.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/session_output.h"

#include <filesystem>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

void SessionCommand::setup(Arguments& args) {
  args.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      .takes("FILE")
      .required();
  args.add_option("--profile", profile_, "Profile NAME or FILE")
      .takes("PROFILE")
      .show_default();
  args.add_option("--bench",
                  bench_,
                  "Bench that calibrate wrote; without it the film is "
                  "calibrated first")
      .takes("FILE");
  calibration_.setup(args);
  spin_.setup(args);
  slow_.setup(args);
  args.add_option("--out",
                  out_,
                  "Folder for bench.toml, overlay.png, feeds.csv, flights.csv, "
                  "tagged.csv, summary.json, session.json, report.html and "
                  "pictures")
      .takes("FOLDER")
      .required();
  filing_.setup(args);
  judging_.setup(args);
  sample_.setup(args);
  sound_.setup(args);
  args.add_option("--pictures",
                  pictures_,
                  "Stills of feeds in the page and in OUT/pictures: of all, of "
                  "those that are not kept (doubtful), or none")
      .one_of({"none", "doubtful", "all"})
      .show_default();
  args.add_flag("--verbose",
                verbose_,
                "Tell about the camera, the lens, drag and lift too");
  args.add_flag("--json", json_, "Print summary.json, nothing else");
  args.add_quiet(quiet_);
}

int SessionCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_text.file);
  files.reads("--bench", bench_);
  calibration_.declare(files);
  judging_.declare(files);
  filing_.declare(files);
  files.writes_in("--out", out_, session_file_names());
  files.check();
  Profile profile = load_profile(profile_text);
  sample_.apply(profile);
  spin_.apply(profile.flight);
  filing_.apply_temperature(profile.flight);
  const CalibrationOptions calibration = calibration_.options(profile);
  const Judging judging = judging_.read(profile.quality);
  filing_.prepare(film_);
  const fs::path out(out_);
  // Until all is done an older session in the folder stays whole.
  StagedFolder staged(out);
  const fs::path& making = staged.path();
  ProgressLine line(quiet_ || json_);
  MeasureOptions options;
  options.video = slow_.video(film_);
  sound_.apply(options);
  options.bench_of_this_film = bench_.empty();
  std::optional<FeedPictures> pictures;
  if (pictures_ != "none") pictures.emplace(making);
  options.onlooker = onlooker_of(pictures);
  CalibrationResult calibrated;
  if (bench_.empty()) {
    calibrated = calibrate_or_refuse(film_,
                                     profile,
                                     calibration,
                                     {(making / "overlay.png").string(),
                                      (out / kRefusedPicture).string()},
                                     options.video,
                                     line)
                     .result;
  }
  const Bench bench = bench_.empty() ? calibrated.bench : load_bench(bench_);
  const Measurement measurement =
      measure_film(film_, bench, profile, options, measuring_progress(line));
  line.clear();
  require_feeds(measurement, film_);
  const WrittenSession written = write_session({film_,
                                                profile_text,
                                                profile,
                                                bench,
                                                measurement,
                                                calibrated.warnings,
                                                pictures_ == "doubtful"},
                                               judging,
                                               filing_,
                                               pictures,
                                               staged,
                                               out);
  if (json_) {
    fmt::print("{}", summary_text(written.result));
  } else if (!quiet_) {
    print_words(words_at_the_end(
        written, measurement, {out, verbose_, bench_.empty(), pictures_, {}}));
    print_words(written.filed);
  }
  return judging_.exit_code(written.result);
}

}  // namespace evenfeed
