// SPDX-License-Identifier: MIT
#include "cli/session_output.h"

#include "base/atomic_file.h"
#include "base/file_set.h"
#include "base/version.h"
#include "cli/calibration_args.h"
#include "cli/logged_feeds.h"
#include "cli/measure_words.h"
#include "cli/print_qualification.h"
#include "cli/shared_causes.h"
#include "quality/summary_file.h"
#include "report/page.h"
#include "session/feeds_file.h"
#include "session/flights_file.h"
#include "session/session_folder.h"

#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

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

Provenance provenance_of(const MeasuredSession& session, FilingArgs& filing) {
  const SessionRecord said = filing.described(session.film);
  const Measurement& measurement = session.measurement;
  Provenance all;
  all.head = said.head;
  all.head.program_version = program_version();
  all.head.profile_name = session.profile_text.name;
  all.settings = said.settings;
  all.sample_properties = said.sample_properties;
  all.film = {session.bench.camera.width_px,
              session.bench.camera.height_px,
              measurement.frames,
              measurement.duration_s,
              measurement.slow,
              measurement.fit.common.clock};
  return all;
}

void write_page(const MeasuredSession& session,
                const fs::path& making,
                const fs::path& out) {
  ReportInput page = load_report_input(making);
  page.title = fs::weakly_canonical(out).filename().string();
  page.surface = session.profile.surface;
  page.landing_zone = session.profile.landing_zone;
  page.provenance = read_provenance(making);
  write_file_whole(making / "report.html", report_page(page));
}

Qualification judged_session(const MeasuredSession& session,
                             const CsvTable& table,
                             const Judging& judging,
                             const std::optional<FeedPictures>& pictures) {
  Qualification result =
      judged(read_trial(table,
                        judging.given ? judging.given->characteristics
                                      : judging.options.characteristics),
             judging);
  exclude_logged(session.log, result);
  result.sound = sound_told(session.measurement);
  const auto told_first = [&](const std::vector<std::string>& warnings) {
    result.warnings.insert(
        result.warnings.begin(), warnings.begin(), warnings.end());
  };
  told_first(measurement_warnings(session.measurement));
  told_first(session.warnings);
  if (pictures && !pictures->broken().empty()) {
    result.warnings.push_back("pictures of later feeds lack their balls: " +
                              pictures->broken());
  }
  return result;
}

}  // namespace

std::vector<std::string_view> session_file_names() {
  return {"bench.toml",
          "overlay.png",
          kRefusedPicture,
          "feeds.csv",
          "flights.csv",
          "tagged.csv",
          "summary.json",
          "session.json",
          "report.html"};
}

Onlooker onlooker_of(std::optional<FeedPictures>& pictures) {
  if (!pictures) return {};
  return {[&](const VideoInfo& film, const std::vector<Frame>& opening) {
            pictures->begin(film, opening);
          },
          [&](const Frame& frame, const std::vector<Sighting>& sightings) {
            pictures->add(frame, sightings);
          }};
}

WrittenSession write_session(const MeasuredSession& session,
                             const Judging& judging,
                             FilingArgs& filing,
                             std::optional<FeedPictures>& pictures,
                             StagedFolder& staged,
                             const fs::path& out) {
  const SessionFit& fit = session.measurement.fit;
  const fs::path& making = staged.path();
  WrittenSession written;
  written.used = session.bench;
  written.used.camera.exposure_s = fit.camera.exposure_s;
  // The exposure is this film's: known again is what lies beneath.
  Bench known = session.bench;
  known.camera.exposure_s.reset();
  const std::string feeds = with_log(feeds_text(fit.feeds), session.log);
  const CsvTable table = CsvTable::parse(feeds, (out / "feeds.csv").string());
  written.result = judged_session(session, table, judging, pictures);
  written.provenance = provenance_of(session, filing);
  if (!filing.date_doubt().empty()) {
    written.result.warnings.push_back(filing.date_doubt());
  }
  write_files_whole(
      {{making / "bench.toml", bench_text(written.used)},
       {making / "feeds.csv", feeds},
       {making / "flights.csv", flights_text(fit.flown)},
       {making / "tagged.csv", tagged_text(table, written.result)},
       {making / "summary.json", summary_text(written.result)},
       {making / "session.json",
        film_json(
            written.provenance,
            shared_uncertainty(fit, written.provenance, bench_text(known)))}});
  std::vector<int> pictured;
  if (pictures) {
    pictured = write_pictures(
        *pictures, fit.flown, session.doubtful_only, written.result, making);
  }
  write_page(session, making, out);
  staged.commit();
  remove_other_pictures(out, pictured);
  std::error_code none;
  fs::remove(out / kRefusedPicture, none);  // of an earlier film
  if (filing.wanted()) {
    written.filed = filing.file(session.profile_text,
                                bench_text(written.used),
                                fit.feeds,
                                written.result);
  }
  return written;
}

std::vector<WrittenFile> session_written(const LastWords& last) {
  const fs::path& out = last.out;
  std::vector<WrittenFile> files{{out / "report.html", "the page: open it"}};
  if (last.with_overlay) {
    files.push_back({out / "overlay.png",
                     "the lines that were found: look whether they fit"});
  }
  files.push_back({out / "tagged.csv", "every feed with its verdict and why"});
  files.push_back({out / "feeds.csv", "every feed as it was measured"});
  files.push_back({out / "flights.csv", "every fitted flight, place by place"});
  files.push_back({out / "summary.json", "the verdict, for programs"});
  files.push_back({out / "session.json", "film, date, launcher, sample"});
  files.push_back({out / "bench.toml", "the calibrated camera"});
  if (last.pictures != "none") {
    files.push_back({out / "pictures",
                     last.pictures == "doubtful"
                         ? "a still of every feed that is not kept"
                         : "a still of every feed"});
  }
  files.insert(files.end(), last.more_files.begin(), last.more_files.end());
  return files;
}

std::string words_at_the_end(const WrittenSession& session,
                             const Measurement& measurement,
                             const LastWords& last) {
  std::string text = verdict_words(session.result) + "\n";
  text += measurement_summary(measurement);
  text += judgement_details(session.result);
  if (last.verbose) {
    text += "\n" + bench_words(session.used) + measurement_text(measurement);
  }
  const SessionHead& head = session.provenance.head;
  const std::string date = date_time_text(head.started_at);
  text += fmt::format("\nfilmed {} {} UTC, {}\n",
                      date.substr(0, 10),
                      date.substr(11, 5),
                      dated_by_words(head.dated_by));
  text = words_with_written(std::move(text), session_written(last));
  text += session.result.ready
              ? "next: compare it with another sample, 'evenfeed help pair'\n"
              : "next: mend what is named above and film more feeds; "
                "'evenfeed help plan' tells how many\n";
  return text;
}

}  // namespace evenfeed
