// SPDX-License-Identifier: MIT
#include "cli/cmd_session.h"

#include "base/atomic_file.h"
#include "base/file_set.h"
#include "base/version.h"
#include "cli/job_files.h"
#include "cli/measure_words.h"
#include "cli/print_qualification.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/shared_causes.h"
#include "quality/qualification.h"
#include "report/page.h"
#include "session/feeds_file.h"
#include "session/flights_file.h"
#include "session/session_folder.h"

#include <filesystem>
#include <optional>

#include "pictures/feed_pictures.h"
#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// What was seen of a film that could not be calibrated. Beside an older
// session, whose own overlay.png stays.
constexpr const char* kRefusedPicture = "refused.png";

// What each frame is looked at for, if pictures are wanted.
Onlooker onlooker_of(std::optional<FeedPictures>& pictures) {
  if (!pictures) return {};
  return {[&](const VideoInfo& film, const std::vector<Frame>& opening) {
            pictures->begin(film, opening);
          },
          [&](const Frame& frame, const std::vector<Sighting>& sightings) {
            pictures->add(frame, sightings);
          }};
}

// Draws those that are wanted into the folder; the feeds they are of.
std::vector<int> write_pictures(FeedPictures& pictures,
                                const std::vector<FlownFeed>& feeds,
                                bool doubtful_only,
                                const Qualification& result,
                                const fs::path& folder) {
  std::vector<FileText> files;
  std::vector<int> numbers;
  const auto wanted = [&](int number) {
    if (!doubtful_only) return true;
    const auto at = static_cast<std::size_t>(number) - 1;
    return at >= result.tags.size() ||
           result.tags[at].verdict != Verdict::kKeep;
  };
  for (FeedPicture& one : pictures.draw(feeds, wanted)) {
    numbers.push_back(one.number);
    files.push_back({folder / feed_picture(one.number), std::move(one.jpeg)});
  }
  if (files.empty()) return numbers;
  make_folder(files.front().path.parent_path());
  write_files_whole(files);
  return numbers;
}

}  // namespace

Provenance SessionCommand::provenance_of(const NamedText& profile,
                                         const Bench& bench,
                                         const Measurement& measurement) {
  const SessionRecord said = filing_.described(film_);
  Provenance all;
  all.head = said.head;
  all.head.program_version = program_version();
  all.head.profile_name = profile.name;
  all.settings = said.settings;
  all.sample_properties = said.sample_properties;
  all.film = {bench.camera.width_px,
              bench.camera.height_px,
              measurement.frames,
              measurement.duration_s,
              measurement.slow};
  return all;
}

// The verdict first, then how it came about, what lies where, what to do next.
std::string SessionCommand::words_at_the_end(
    const Provenance& provenance,
    const Bench& bench,
    const Measurement& measurement,
    const Qualification& result) const {
  std::string text = verdict_words(result) + "\n";
  text += measurement_summary(measurement);
  text += judgement_details(result);
  if (verbose_) {
    text += "\n" + bench_words(bench) + measurement_text(measurement);
  }
  const std::string date = date_time_text(provenance.head.started_at);
  text += fmt::format("\nfilmed {} {} UTC, {}\n",
                      date.substr(0, 10),
                      date.substr(11, 5),
                      dated_by_words(provenance.head.dated_by));
  const fs::path out(out_);
  text += fmt::format(
      "written to {}:\n"
      "  report.html   the page: open it\n",
      out.string());
  if (bench_.empty()) {
    text +=
        "  overlay.png   the lines that were found: look whether they fit\n";
  }
  text +=
      "  tagged.csv    every feed with its verdict and why\n"
      "  feeds.csv, flights.csv, summary.json, session.json, bench.toml\n";
  if (pictures_ != "none") {
    text += "  pictures/     a still of every feed";
    text += pictures_ == "doubtful" ? " that is not kept\n" : "\n";
  }
  text += result.ready
              ? "next: compare it with another sample, 'evenfeed help pair'\n"
              : "next: mend what is named above and film more feeds; "
                "'evenfeed help plan' tells how many\n";
  return text;
}

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
  files.writes_in("--out",
                  out_,
                  {"bench.toml",
                   "overlay.png",
                   kRefusedPicture,
                   "feeds.csv",
                   "flights.csv",
                   "tagged.csv",
                   "summary.json",
                   "session.json",
                   "report.html"});
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
  Bench used = bench;
  used.camera.exposure_s = measurement.fit.camera.exposure_s;
  // The exposure is this film's: known again is what lies beneath.
  Bench known = bench;
  known.camera.exposure_s.reset();
  const std::string feeds = feeds_text(measurement.fit.feeds);
  const CsvTable table = CsvTable::parse(feeds, (out / "feeds.csv").string());
  Qualification result =
      judged(read_trial(table,
                        judging.given ? judging.given->characteristics
                                      : judging.options.characteristics),
             judging);
  result.sound = sound_told(measurement);
  const std::vector<std::string> warnings = measurement_warnings(measurement);
  result.warnings.insert(
      result.warnings.begin(), warnings.begin(), warnings.end());
  result.warnings.insert(result.warnings.begin(),
                         calibrated.warnings.begin(),
                         calibrated.warnings.end());
  if (pictures && !pictures->broken().empty()) {
    result.warnings.push_back("pictures of later feeds lack their balls: " +
                              pictures->broken());
  }
  const Provenance provenance = provenance_of(profile_text, used, measurement);
  write_files_whole(
      {{making / "bench.toml", bench_text(used)},
       {making / "feeds.csv", feeds},
       {making / "flights.csv", flights_text(measurement.fit.flown)},
       {making / "tagged.csv", tagged_text(table, result)},
       {making / "summary.json", summary_text(result)},
       {making / "session.json",
        film_json(
            provenance,
            shared_uncertainty(
                measurement.fit.common, provenance, bench_text(known)))}});
  std::vector<int> pictured;
  if (pictures) {
    pictured = write_pictures(*pictures,
                              measurement.fit.flown,
                              pictures_ == "doubtful",
                              result,
                              making);
  }
  ReportInput page = load_report_input(making);
  page.title = fs::weakly_canonical(out).filename().string();
  page.surface = profile.surface;
  page.landing_zone = profile.landing_zone;
  page.provenance = read_provenance(making);
  write_file_whole(making / "report.html", report_page(page));
  staged.commit();
  remove_other_pictures(out, pictured);
  std::error_code none;
  fs::remove(out / kRefusedPicture, none);  // of an earlier film
  std::string filed;
  if (filing_.wanted()) {
    filed = filing_.file(
        profile_text, bench_text(used), measurement.fit.feeds, result);
  }
  if (json_) {
    fmt::print("{}", summary_text(result));
  } else if (!quiet_) {
    print_words(words_at_the_end(provenance, used, measurement, result));
    print_words(filed);
  }
  return judging_.exit_code(result);
}

}  // namespace evenfeed
