// SPDX-License-Identifier: MIT
#include "cli/cmd_session.h"

#include "base/file_set.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_words.h"
#include "cli/session_output.h"
#include "pipeline/measure.h"
#include "quality/summary_file.h"

#include <filesystem>
#include <optional>

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

void SessionCommand::setup(Arguments& args) {
  args.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      .takes("FILE")
      .required();
  session_.setup_bench(args);
  slow_.setup(args);
  args.add_option("--out",
                  out_,
                  "Folder for bench.toml, overlay.png, feeds.csv, flights.csv, "
                  "tagged.csv, summary.json, session.json, report.html and "
                  "pictures")
      .takes("FOLDER")
      .required();
  session_.setup_judging(args);
  sound_.setup(args);
  session_.setup_pictures(args);
  args.add_flag("--verbose",
                verbose_,
                "Tell about the camera, the lens, drag and lift too");
  args.add_flag("--json",
                json_,
                "Print summary.json, nothing else; 'written' lists the files");
  args.add_quiet(quiet_);
}

int SessionCommand::run() {
  const NamedText profile_text = find_profile(session_.profile);
  JobFiles files;
  files.reads("VIDEO", film_);
  session_.declare(files, profile_text, out_);
  files.check();
  const Profile profile = session_.profile_of(profile_text);
  const CalibrationOptions calibration = session_.calibration.options(profile);
  const Judging judging = session_.judging.read(profile.quality);
  session_.filing.prepare(film_);
  const fs::path out(out_);
  // Until all is done an older session in the folder stays whole.
  StagedFolder staged(out);
  ProgressLine line(quiet_ || json_);
  MeasureOptions options;
  options.video = slow_.video(film_);
  sound_.apply(options);
  require_film(VideoSource(film_, options.video).info());
  const bool calibrates = session_.bench.empty();
  options.bench_of_this_film = calibrates;
  std::optional<FeedPictures> pictures;
  if (session_.pictures != "none") pictures.emplace(staged.path());
  options.onlooker = onlooker_of(pictures);
  CalibrationResult calibrated;
  if (calibrates) {
    calibrated = session_.calibrated(
        film_, profile, calibration, staged, out, options.video, line);
  }
  const Bench bench =
      calibrates ? calibrated.bench : load_bench(session_.bench);
  const Measurement measurement =
      measure_film(film_, bench, profile, options, measuring_progress(line));
  line.clear();
  require_own_times(measurement, film_);
  require_feeds(measurement, film_);
  const WrittenSession written =
      write_session({film_,
                     profile_text,
                     profile,
                     bench,
                     measurement,
                     calibrated.warnings,
                     session_.pictures == "doubtful"},
                    judging,
                    session_.filing,
                    pictures,
                    staged,
                    out);
  const LastWords last{out, verbose_, calibrates, session_.pictures};
  if (json_) {
    std::vector<WrittenFile> all = session_written(last);
    all.push_back({written.filed.db, "the store"});
    fmt::print("{}", json_with_written(summary_text(written.result), all));
  } else if (!quiet_) {
    print_words(words_at_the_end(written, measurement, last));
    print_words(written.filed.words);
  }
  return session_.judging.exit_code(written.result);
}

}  // namespace evenfeed
