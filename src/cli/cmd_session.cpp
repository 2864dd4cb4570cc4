// SPDX-License-Identifier: MIT
#include "cli/cmd_session.h"

#include "base/atomic_file.h"
#include "base/file_set.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_qualification.h"
#include "cli/profile_lookup.h"
#include "cli/session_folder.h"
#include "quality/qualification.h"
#include "report/page.h"
#include "session/feeds_file.h"

#include <filesystem>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

SharedUncertainty shared_in(const SessionFit& fit) {
  SharedUncertainty shared;
  for (const CharacteristicInfo& about : characteristics()) {
    shared[std::string(about.column)] =
        fit.common_sigma[static_cast<std::size_t>(about.id)];
  }
  shared["t_bounce_s"] = fit.common_st_bounce_s;
  return shared;
}

}  // namespace

void SessionCommand::setup(CLI::App& app) {
  app.add_option("VIDEO", film_, "Film of the bench from a fixed camera")
      ->required();
  app.add_option("--profile", profile_, "Profile NAME or FILE")
      ->capture_default_str();
  app.add_option("--bench",
                 bench_,
                 "Bench that calibrate wrote; without it the film is "
                 "calibrated first");
  calibration_.setup(app);
  spin_.setup(app);
  slow_.setup(app);
  app.add_option("--baseline",
                 baseline_,
                 "Judge against this baseline (qualify --baseline-out)");
  app.add_option("--out",
                 out_,
                 "Folder for bench.toml, overlay.png, feeds.csv, tagged.csv, "
                 "summary.json, session.json and report.html")
      ->required();
  filing_.setup(app);
  app.add_flag("--gate", gate_, "Exit with 3 unless the launcher is ready");
  sample_.setup(app);
  app.add_flag("--quiet", quiet_, "Say nothing but errors");
}

int SessionCommand::run() {
  const fs::path profile_file = find_profile(profile_);
  JobFiles files;
  files.reads("VIDEO", film_);
  files.reads("--profile", profile_file);
  files.reads("--bench", bench_);
  calibration_.declare(files);
  files.reads("--baseline", baseline_);
  filing_.declare(files);
  files.writes_in("--out",
                  out_,
                  {"bench.toml",
                   "overlay.png",
                   "feeds.csv",
                   "tagged.csv",
                   "summary.json",
                   "session.json",
                   "report.html"});
  files.check();
  Profile profile = load_profile(profile_file);
  sample_.apply(profile);
  spin_.apply(profile.flight);
  const CalibrationOptions calibration = calibration_.options(profile);
  std::optional<Baseline> given;
  if (!baseline_.empty()) {
    given = parse_baseline(read_file(baseline_), baseline_);
  }
  filing_.prepare(film_);
  const fs::path out(out_);
  const bool had_folder = fs::exists(out);
  make_folder(out);
  ProgressLine line(quiet_);
  try {
    MeasureOptions options;
    options.video = slow_.video();
    options.bench_of_this_film = bench_.empty();
    CalibrationResult calibrated;
    if (bench_.empty()) {
      calibrated = calibrate_or_refuse(film_,
                                       profile,
                                       calibration,
                                       (out / "overlay.png").string(),
                                       options.video,
                                       line)
                       .result;
    }
    const Bench bench = bench_.empty() ? calibrated.bench : load_bench(bench_);
    const Measurement measurement =
        measure_film(film_, bench, profile, options, measuring_progress(line));
    line.clear();
    require_feeds(measurement, film_);
    Bench used = bench;
    used.camera.exposure_s = measurement.fit.camera.exposure_s;
    const std::string feeds = feeds_text(measurement.fit.feeds);
    const CsvTable table = CsvTable::parse(feeds, (out / "feeds.csv").string());
    Qualification result =
        qualify(read_trial(table,
                           given ? given->characteristics
                                 : profile.quality.characteristics),
                profile.quality,
                given);
    const std::vector<std::string> warnings = measurement_warnings(measurement);
    result.warnings.insert(
        result.warnings.begin(), warnings.begin(), warnings.end());
    result.warnings.insert(result.warnings.begin(),
                           calibrated.warnings.begin(),
                           calibrated.warnings.end());
    write_files_whole({{out / "bench.toml", bench_text(used)},
                       {out / "feeds.csv", feeds},
                       {out / "tagged.csv", tagged_text(table, result)},
                       {out / "summary.json", summary_text(result)},
                       {out / "session.json",
                        film_json(filing_.source(film_),
                                  filing_.filmed(film_),
                                  profile_file.stem().string(),
                                  shared_in(measurement.fit))}});
    ReportInput page = load_report_input(out);
    page.surface = profile.surface;
    page.landing_zone = profile.landing_zone;
    write_file_whole(out / "report.html", report_page(page));
    if (!quiet_) {
      fmt::print("{}{}\n{}",
                 bench_words(used),
                 measurement_text(measurement),
                 qualification_words(result));
    }
    if (filing_.wanted()) {
      const std::string words = filing_.file(
          profile_file, bench_text(used), measurement.fit.feeds, result);
      if (!quiet_) fmt::print("{}", words);
    }
    return gate_ && !result.ready ? kExitNotInControl : kExitDone;
  } catch (const InputError&) {
    // A folder made for nothing is not left behind.
    std::error_code ignored;
    if (!had_folder && fs::is_empty(out, ignored)) fs::remove(out, ignored);
    throw;
  }
}

}  // namespace evenfeed
