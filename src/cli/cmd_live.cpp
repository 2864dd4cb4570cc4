// SPDX-License-Identifier: MIT
#include "cli/cmd_live.h"

#include "base/file_set.h"
#include "cli/bench_line.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/progress_line.h"
#include "cli/session_output.h"
#include "cli/stop_signals.h"

#include <filesystem>
#include <memory>
#include <optional>

#include "live/live_run.h"
#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

void LiveCommand::setup(Arguments& args) {
  args.add_option("--rehearse",
                  rehearse_,
                  "A film in the camera's place, played at its own speed")
      .takes("FILE")
      .required();
  args.add_flag("--fast", fast_, "Play it as fast as it can be measured");
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
  args.add_option("--out", out_, "Folder for what session writes")
      .takes("FOLDER")
      .required();
  filing_.setup(args);
  judging_.setup(args);
  sample_.setup(args);
  args.add_option("--pictures",
                  pictures_,
                  "Stills of feeds in the page and in OUT/pictures: of all, of "
                  "those that are not kept (doubtful), or none")
      .one_of({"none", "doubtful", "all"})
      .show_default();
  args.add_quiet(quiet_);
}

int LiveCommand::run() {
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--rehearse", rehearse_);
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
  const CalibrationOptions calibration = calibration_.options(profile);
  const Judging judging = judging_.read(profile.quality);
  filing_.prepare(rehearse_);
  const fs::path out(out_);
  StagedFolder staged(out);
  EngineOptions options;
  options.judging = {judging.options, judging.given};
  options.measure.bench_of_this_film = bench_.empty();
  std::optional<FeedPictures> pictures;
  if (pictures_ != "none") pictures.emplace(staged.path());
  options.measure.onlooker = onlooker_of(pictures);
  CalibrationResult calibrated;
  if (bench_.empty()) {
    ProgressLine line(quiet_);
    calibrated = calibrate_or_refuse(rehearse_,
                                     profile,
                                     calibration,
                                     {(staged.path() / "overlay.png").string(),
                                      (out / kRefusedPicture).string()},
                                     options.measure.video,
                                     line)
                     .result;
  }
  const Bench bench = bench_.empty() ? calibrated.bench : load_bench(bench_);
  StopSignals stop;
  VideoSource source(rehearse_, options.measure.video);
  Measurement measurement;
  {
    BenchLine line(quiet_);
    std::unique_ptr<LiveRun> run;
    run = std::make_unique<LiveRun>(
        bench, profile, options, [&](const LiveEvent& event) {
          line.tell(event, *run->engine().state());
        });
    const FrameGiver give = [&source] { return source.next(); };
    measurement = run->run({source.info(),
                            opening_stills(rehearse_, options.measure.video),
                            fast_ ? until_stopped(give, stop.wanted())
                                  : at_own_speed(give, stop.wanted())});
    if (!stop.wanted()) measurement.notes = source.notes();
  }
  require_feeds(measurement, rehearse_);
  const WrittenSession written = write_session({rehearse_,
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
  if (!quiet_) {
    print_words(words_at_the_end(
        written, measurement, {out, false, bench_.empty(), pictures_, {}}));
    print_words(written.filed);
  }
  return judging_.exit_code(written.result);
}

}  // namespace evenfeed
