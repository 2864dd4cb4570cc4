// SPDX-License-Identifier: MIT
#include "cli/cmd_live.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/bench_line.h"
#include "cli/job_files.h"
#include "cli/live_job.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/session_output.h"
#include "cli/stop_signals.h"
#include "live/order_sheet.h"

#include <filesystem>
#include <optional>
#include <utility>
#include <vector>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// What the session's feeds were told to be, in their order.
std::vector<FeedLog> logs_of(const SessionFit& fit,
                             const TrialLog& log,
                             const OrderSheet& order) {
  if (log.empty() && order.empty()) return {};
  std::vector<std::pair<double, double>> flown_s;
  for (std::size_t i = 0; i < fit.feeds.size(); ++i) {
    const std::vector<Sighting>& seen = fit.flown[i].sightings;
    const double launch_s = fit.feeds[i].t_launch_s;
    flown_s.emplace_back(seen.empty() ? launch_s : seen.front().t_s,
                         seen.empty() ? launch_s : seen.back().t_s);
  }
  return logs_of_feeds(log, order, flown_s);
}

}  // namespace

void LiveCommand::setup(Arguments& args) {
  camera_.setup(args);
  args.add_option("--rehearse",
                  rehearse_,
                  "A film in the camera's place, played at its own speed")
      .takes("FILE");
  args.add_flag("--fast", fast_, "Play it as fast as it can be measured");
  session_.setup_bench(args);
  args.add_option("--out",
                  out_,
                  "Folder for what session writes, the journal and what was "
                  "seen in each frame")
      .takes("FOLDER");
  args.add_option("--resume",
                  resume_,
                  "Go on with the live session in this folder, which was cut "
                  "off; say --spin, --sample-x and the like again")
      .takes("FOLDER");
  args.add_option("--order",
                  order_,
                  "The sheet of 'plan order' (order.csv), followed step by "
                  "step on terminal and page")
      .takes("FILE");
  args.add_option("--listen",
                  listen_,
                  "Show the bench page to other machines too, at this address "
                  "of this machine; the page then asks for the key in its "
                  "address")
      .takes("ADDRESS");
  args.add_option(
          "--port", port_, "Port of the bench page; 0: any that is free")
      .within(0, 65535);
  args.add_flag("--yes",
                yes_,
                "Go on with the table as it was found, without asking; where "
                "no person is at a terminal, nobody is asked");
  args.add_flag("--no-page", no_page_, "No bench page, the terminal only");
  session_.setup_judging(args);
  session_.setup_pictures(args);
  args.add_quiet(quiet_);
}

void LiveCommand::check_options() const {
  if (!resume_.empty()) {
    if (out_.empty() && rehearse_.empty() && session_.bench.empty() &&
        order_.empty() && !camera_.given()) {
      return;
    }
    throw UsageError(
        "--resume FOLDER knows camera or film, bench, order and folder: leave "
        "out SOURCE, --rehearse, --bench, --order and --out");
  }
  if (rehearse_.empty() && !camera_.given()) {
    throw UsageError(
        "SOURCE is required: /dev/video0, an address, a FIFO or -; or "
        "--rehearse FILE, a film in the camera's place");
  }
  if (camera_.given() && (!rehearse_.empty() || fast_)) {
    throw UsageError(
        "SOURCE is the camera: leave out --rehearse and --fast, which play a "
        "film in its place");
  }
  (void)camera_.options();
  if (!rehearse_.empty() && (camera_.rate_hz > 0 || !camera_.size.empty())) {
    throw UsageError(
        "--size and --rate are of a camera: a film that --rehearse plays has "
        "its own");
  }
  if (out_.empty()) throw UsageError("--out FOLDER is required");
  if (no_page_ && !listen_.empty()) {
    throw UsageError("--listen is for the page that --no-page leaves out");
  }
  // Pages are known by the address they were asked at, and this is nobody's.
  if (listen_ == "0.0.0.0" || listen_ == "::") {
    throw UsageError("--listen " + listen_ +
                     ": give the address that other machines reach this one "
                     "at; 'ip address' lists them");
  }
}

// What is in the folder already, and what of it is taken over.
std::optional<CutOff> LiveCommand::take_up() {
  const fs::path folder(resume_.empty() ? out_ : resume_);
  std::optional<CutOff> cut_off = read_cut_off(folder);
  if (resume_.empty()) {
    if (cut_off && !cut_off->ended) {
      throw InputError(folder.string(),
                       "the live session in it was cut off and would be lost",
                       "Go on with it (--resume " + folder.string() +
                           "), or give another folder");
    }
    if (camera_.given()) require_no_film(folder);
    return std::nullopt;
  }
  if (!cut_off || cut_off->begin.film.empty()) {
    throw InputError(folder.string(),
                     "there is no live session in it",
                     "Give the folder that --out named");
  }
  if (cut_off->ended) {
    throw InputError(folder.string(),
                     "the live session in it came to its end",
                     "Nothing to do: its files are all there");
  }
  out_ = resume_;
  const LiveBegin& begin = cut_off->begin;
  if (begin.stream.empty()) {
    rehearse_ = begin.film;
  } else {
    StreamOptions options;
    options.address = begin.stream;
    options.width_px = begin.width_px;
    options.height_px = begin.height_px;
    options.rate_hz = begin.rate_hz;
    camera_.take(options);
  }
  session_.profile = cut_off->begin.profile;
  return cut_off;
}

void LiveCommand::require_no_film(const fs::path& folder) const {
  std::error_code error;
  if (!fs::exists(folder / kLiveFilm, error)) return;
  throw InputError((folder / kLiveFilm).string(),
                   "a film was recorded there, and none is written over",
                   "Give another folder");
}

// Before the camera is opened: a sheet that is wrong is told at once.
void LiveCommand::read_order(LiveJob& job) const {
  if (job.cut_off) {
    job.order_text = job.cut_off->begin.order;
  } else if (!order_.empty()) {
    job.order_text = read_file(order_);
  }
  // A sheet that was given and is empty is refused.
  if (job.order_text.empty() && order_.empty()) return;
  job.order =
      OrderSheet(CsvTable::parse(job.order_text, job.cut_off ? out_ : order_));
}

fs::path LiveCommand::film(const LiveJob& job) const {
  return camera_.given() ? job.record : fs::path(rehearse_);
}

int LiveCommand::write(LiveJob& job,
                       const Measurement& measurement,
                       BenchLine& line) {
  const WrittenSession written =
      write_session({film(job),
                     job.profile_text,
                     job.profile,
                     job.bench,
                     measurement,
                     job.calibrated.warnings,
                     session_.pictures == "doubtful",
                     logs_of(measurement.fit, job.desk->log(), job.order)},
                    job.judging,
                    session_.filing,
                    job.pictures,
                    job.staged,
                    job.out);
  job.desk->end();
  if (!quiet_) {
    line.say(words_at_the_end(
        written,
        measurement,
        {job.out,
         false,
         session_.bench.empty() && !job.cut_off,
         job.pictures ? session_.pictures : "none",
         {{job.out / "journal.jsonl", "what was told, and when"},
          {job.out / "sightings.log", "what was seen in every frame"}}}));
    print_words(written.filed.words);
  }
  return session_.judging.exit_code(written.result);
}

int LiveCommand::run() {
  check_options();
  // Told now, not when the table has been looked for.
  if (!no_page_) try_address(page_options());
  std::optional<CutOff> cut_off = take_up();
  const NamedText profile_text = find_profile(session_.profile);
  JobFiles files;
  files.reads("--rehearse", rehearse_);
  files.reads("--order", order_);
  session_.declare(files, profile_text, out_, {kJournalFile, kFrameLogFile});
  files.check();
  const Profile profile = session_.profile_of(profile_text);
  const CalibrationOptions calibration = session_.calibration.options(profile);
  const Judging judging = session_.judging.read(profile.quality);
  // A film that is not there yet can be neither dated nor known again.
  session_.filing.prepare(camera_.given() ? "." : rehearse_);
  LiveJob job{std::move(cut_off),
              "",
              profile_text,
              profile,
              judging,
              out_,
              StagedFolder(out_)};
  job.options.judging = {job.judging.options, job.judging.given};
  // Of frames that were seen before it was cut off there are none.
  if (session_.pictures != "none" && !job.cut_off) {
    job.pictures.emplace(job.staged.path());
  }
  job.options.measure.onlooker = onlooker_of(job.pictures);
  read_order(job);
  StopSignals stop;  // until all is written
  BenchLine line(quiet_);
  if (!camera_.given()) {
    const VideoInfo film =
        VideoSource(rehearse_, job.options.measure.video).info();
    require_film(film);
    // A camera's clock is its own.
    job.options.measure.session.joint.clock_sd =
        clock_sd_of(film, job.options.measure);
  }
  if (camera_.given() && !job.cut_off) open_camera(job, stop.wanted(), line);
  find_bench(job, calibration, stop.wanted(), line);
  if (!job.cut_off) {  // of a session that came to its end
    std::error_code none;
    fs::remove(job.out / kJournalFile, none);
    fs::remove(job.out / kFrameLogFile, none);
  }
  set_up_desk(job, line);
  return write(job, watch(job, stop.wanted(), line), line);
}

}  // namespace evenfeed
