// SPDX-License-Identifier: MIT
#include "cli/session_args.h"

#include "base/file_set.h"
#include "cli/job_files.h"
#include "cli/session_output.h"

namespace evenfeed {

void SessionArgs::setup_bench(Arguments& args) {
  args.add_option("--profile", profile, "Profile NAME or FILE")
      .takes("PROFILE")
      .show_default();
  args.add_option("--bench",
                  bench,
                  "Bench that calibrate wrote; without it the film is "
                  "calibrated first")
      .takes("FILE");
  calibration.setup(args);
  spin.setup(args);
}

void SessionArgs::setup_judging(Arguments& args) {
  filing.setup(args);
  judging.setup(args);
  sample.setup(args);
}

void SessionArgs::setup_pictures(Arguments& args) {
  args.add_option("--pictures",
                  pictures,
                  "Stills of feeds in the page and in OUT/pictures: of all, of "
                  "those that are not kept (doubtful), or none")
      .one_of({"none", "doubtful", "all"})
      .show_default();
}

void SessionArgs::declare(JobFiles& files,
                          const NamedText& profile_text,
                          const std::string& out,
                          const std::vector<std::string_view>& more) const {
  files.reads("--profile", profile_text.file);
  files.reads("--bench", bench);
  calibration.declare(files);
  judging.declare(files);
  filing.declare(files);
  std::vector<std::string_view> names = session_file_names();
  names.insert(names.end(), more.begin(), more.end());
  files.writes_in("--out", out, names);
}

Profile SessionArgs::profile_of(const NamedText& text) const {
  Profile game = load_profile(text);
  sample.apply(game);
  spin.apply(game.flight);
  filing.apply_temperature(game.flight);
  return game;
}

CalibrationResult SessionArgs::calibrated(const std::string& film,
                                          const Profile& game,
                                          const CalibrationOptions& options,
                                          const StagedFolder& staged,
                                          const std::filesystem::path& out,
                                          const VideoOptions& video,
                                          ProgressLine& line) const {
  return calibrate_or_refuse(film,
                             game,
                             options,
                             {(staged.path() / "overlay.png").string(),
                              (out / kRefusedPicture).string()},
                             video,
                             line)
      .result;
}

}  // namespace evenfeed
