// SPDX-License-Identifier: MIT
#include "cli/cmd_live.h"

#include "base/atomic_file.h"
#include "base/counted.h"
#include "base/error.h"
#include "base/file_set.h"
#include "cli/bench_line.h"
#include "cli/job_files.h"
#include "cli/live_resume.h"
#include "cli/measure_words.h"
#include "cli/print_words.h"
#include "cli/profile_lookup.h"
#include "cli/progress_line.h"
#include "cli/session_output.h"
#include "cli/stop_signals.h"

#include <filesystem>
#include <memory>
#include <optional>

#include "live/live_desk.h"
#include "live/live_run.h"
#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// Of the camera's film: what stands still is learnt from it, and the bench
// found in somewhat more.
constexpr double kOpening_s = 2;
constexpr double kBenchOpening_s = 3;

// What the session's feeds were told to be, in their order.
std::vector<FeedLog> logs_of(const SessionFit& fit, const TrialLog& log) {
  std::vector<FeedLog> all;
  if (log.empty()) return all;
  for (std::size_t i = 0; i < fit.feeds.size(); ++i) {
    const std::vector<Sighting>& seen = fit.flown[i].sightings;
    const double launch_s = fit.feeds[i].t_launch_s;
    all.push_back(seen.empty() ? log.of(launch_s, launch_s)
                               : log.of(seen.front().t_s, seen.back().t_s));
  }
  return all;
}

}  // namespace

struct LiveCommand::Job {
  std::optional<CutOff> cut_off;
  NamedText profile_text;
  Profile profile;
  Judging judging;
  std::filesystem::path out;
  StagedFolder staged;
  EngineOptions options = {};
  std::optional<FeedPictures> pictures = {};
  CalibrationResult calibrated = {};
  Bench bench = {};
  bool silent = false;                // what is told was told before
  std::filesystem::path record = {};  // of the camera
  std::unique_ptr<VideoSource> rehearsal = {};
  std::unique_ptr<LiveRun> run = {};
  std::unique_ptr<LiveDesk> desk = {};      // asks it, and goes first
  std::unique_ptr<LiveCamera> camera = {};  // tells both
};

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
  args.add_option("--listen",
                  listen_,
                  "Show the bench page to other machines too, at this address "
                  "of this machine; the page then asks for the key in its "
                  "address")
      .takes("ADDRESS");
  args.add_option(
          "--port", port_, "Port of the bench page; 0: any that is free")
      .within(0, 65535);
  args.add_flag("--no-page", no_page_, "No bench page, the terminal only");
  session_.setup_judging(args);
  session_.setup_pictures(args);
  args.add_quiet(quiet_);
}

void LiveCommand::check_options() const {
  if (!resume_.empty()) {
    if (out_.empty() && rehearse_.empty() && session_.bench.empty() &&
        !camera_.given()) {
      return;
    }
    throw UsageError(
        "--resume FOLDER knows camera or film, bench and folder: leave out "
        "SOURCE, --rehearse, --bench and --out");
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

fs::path LiveCommand::film(const Job& job) const {
  return camera_.given() ? job.record : fs::path(rehearse_);
}

void LiveCommand::open_page(LiveDesk& desk, BenchLine& line) const {
  if (no_page_) return;
  ServerOptions options;
  options.port = port_;
  if (!listen_.empty()) {
    options.address = listen_;
    options.look_token = new_token();
    options.act_token = new_token();
  }
  desk.open_page(options);
  line.say("bench page: " + desk.page_address());
  if (options.look_token.empty()) return;
  const std::string address = desk.page_address();
  line.say("to look only: " + address.substr(0, address.find('?')) +
           "?key=" + options.look_token);
}

// Told before, of the film's opening, or from a file.
void LiveCommand::find_bench(Job& job,
                             const CalibrationOptions& calibration) const {
  if (job.cut_off) {
    job.bench = parse_bench(job.cut_off->begin.bench, out_);
    job.options.measure.bench_of_this_film = job.cut_off->begin.of_this_film;
    return;
  }
  if (!camera_.given()) {
    require_film(VideoSource(rehearse_, job.options.measure.video).info());
  }
  job.options.measure.bench_of_this_film = session_.bench.empty();
  if (!session_.bench.empty()) {
    job.bench = load_bench(session_.bench);
    return;
  }
  ProgressLine line(quiet_);
  job.calibrated = session_.calibrated(film(job).string(),
                                       job.profile,
                                       calibration,
                                       job.staged,
                                       job.out,
                                       job.options.measure.video,
                                       line);
  job.bench = job.calibrated.bench;
}

void LiveCommand::set_up_desk(Job& job, BenchLine& line) const {
  job.silent = job.cut_off.has_value();
  job.run = std::make_unique<LiveRun>(
      job.bench,
      job.profile,
      job.options,
      [&](const LiveEvent& event) {
        if (job.silent) return;
        job.desk->event(event);
        line.tell(event, *job.run->engine().state());
      },
      [&](const FrameSightings& frame) { job.desk->frame(frame); });
  job.desk =
      std::make_unique<LiveDesk>(job.out,
                                 job.profile,
                                 job.cut_off ? job.cut_off->log : TrialLog(),
                                 [&job] { return job.run->engine().state(); });
}

// Its film is what the bench is found in, and what is still is learnt from.
void LiveCommand::open_camera(Job& job,
                              const std::atomic<bool>& stop,
                              BenchLine& line) const {
  job.camera =
      std::make_unique<LiveCamera>(camera_.options(), job.out, 0, 0, stop);
  line.say(session_.bench.empty()
               ? "the camera answers: keep the table free for a moment"
               : "the camera answers");
  job.record = job.camera->film_of(session_.bench.empty() ? kBenchOpening_s
                                                          : kOpening_s);
}

// What was seen before it was cut off, and from where to go on.
LiveFrames LiveCommand::take_up_again(Job& job,
                                      const std::atomic<bool>& stop,
                                      BenchLine& line) const {
  const int last = replay(*job.cut_off, job.run->engine());
  job.silent = false;
  const auto state = job.run->engine().state();
  job.desk->resumed(state->t_s, static_cast<int>(state->feeds.size()));
  line.say(fmt::format("taken up again with {}",
                       counted(static_cast<int>(state->feeds.size()), "feed")));
  if (camera_.given()) {
    job.camera =
        std::make_unique<LiveCamera>(camera_.options(),
                                     job.out,
                                     state->t_s + cut_off_for_s(job.out),
                                     last + 1,
                                     stop);
    job.record = job.out / kLiveFilm;
  }
  return frames_of(job, stop, last);
}

LiveFrames LiveCommand::frames_of(Job& job,
                                  const std::atomic<bool>& stop,
                                  int seen) const {
  const VideoOptions& video = job.options.measure.video;
  if (job.camera) {
    job.camera->report_to(job.run->engine());
    return job.camera->frames(
        opening_stills(job.camera->film_of(kOpening_s), video));
  }
  job.rehearsal = std::make_unique<VideoSource>(rehearse_, video);
  FrameGiver give = [&job] { return job.rehearsal->next(); };
  if (seen >= 0) give = after_frame(give, seen);
  return {job.rehearsal->info(),
          opening_stills(rehearse_, video),
          fast_ ? until_stopped(give, stop) : at_own_speed(give, stop)};
}

// Frames as they come, to their end or until somebody says so.
Measurement LiveCommand::watch(Job& job,
                               const std::atomic<bool>& stop,
                               BenchLine& line) const {
  LiveFrames frames;
  if (job.cut_off) {
    open_page(*job.desk, line);
    frames = take_up_again(job, stop, line);
  } else {
    const StreamOptions asked = camera_.options();
    job.desk->begin({fs::absolute(film(job)).string(),
                     session_.profile,
                     bench_text(job.bench),
                     session_.bench.empty(),
                     asked.address,
                     asked.width_px,
                     asked.height_px,
                     asked.rate_hz});
    open_page(*job.desk, line);
    frames = frames_of(job, stop, -1);
  }
  Measurement measurement = job.run->run(std::move(frames));
  if (job.camera) {
    measurement.notes = job.camera->close();
  } else if (!stop) {
    measurement.notes = job.rehearsal->notes();
  }
  require_feeds(measurement, film(job).string());
  if (job.cut_off) {
    measurement.notes.push_back(
        fmt::format("the live session was cut off, and taken up again at "
                    "{:.1f} s: what flew between is missing",
                    job.run->engine().state()->t_s));
  }
  return measurement;
}

int LiveCommand::write(Job& job,
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
                     logs_of(measurement.fit, job.desk->log())},
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
         "  journal.jsonl, sightings.log: what was told and seen, when\n"}));
    print_words(written.filed);
  }
  return session_.judging.exit_code(written.result);
}

int LiveCommand::run() {
  check_options();
  std::optional<CutOff> cut_off = take_up();
  const NamedText profile_text = find_profile(session_.profile);
  JobFiles files;
  files.reads("--rehearse", rehearse_);
  session_.declare(files, profile_text, out_, {kJournalFile, kFrameLogFile});
  files.check();
  const Profile profile = session_.profile_of(profile_text);
  const CalibrationOptions calibration = session_.calibration.options(profile);
  const Judging judging = session_.judging.read(profile.quality);
  // A film that is not there yet can be neither dated nor known again.
  session_.filing.prepare(camera_.given() ? "." : rehearse_);
  Job job{std::move(cut_off),
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
  StopSignals stop;  // until all is written
  BenchLine line(quiet_);
  if (camera_.given() && !job.cut_off) open_camera(job, stop.wanted(), line);
  find_bench(job, calibration);
  if (!job.cut_off) {  // of a session that came to its end
    std::error_code none;
    fs::remove(job.out / kJournalFile, none);
    fs::remove(job.out / kFrameLogFile, none);
  }
  set_up_desk(job, line);
  return write(job, watch(job, stop.wanted(), line), line);
}

}  // namespace evenfeed
