// SPDX-License-Identifier: MIT
#include "cli/cmd_live.h"

#include "base/atomic_file.h"
#include "base/counted.h"
#include "base/error.h"
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

#include "live/frame_log.h"
#include "live/live_desk.h"
#include "live/live_run.h"
#include <fmt/format.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// Frames up to this one were seen before; they are passed by.
FrameGiver after_frame(FrameGiver give, int last) {
  return [give = std::move(give), last]() {
    std::optional<Frame> frame = give();
    while (frame && frame->index <= last) frame = give();
    return frame;
  };
}

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

// Everything seen before it was cut off, as if it came now. The last frame.
int replay(const CutOff& cut_off, LiveEngine& engine) {
  int last = -1;
  for (const std::string& line : cut_off.frames) {
    std::optional<FrameSightings> frame = read_frame_line(line);
    if (!frame || frame->index <= last) continue;
    last = frame->index;
    engine.add(std::move(*frame));
  }
  return last;
}

}  // namespace

void LiveCommand::setup(Arguments& args) {
  args.add_option("--rehearse",
                  rehearse_,
                  "A film in the camera's place, played at its own speed")
      .takes("FILE");
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

void LiveCommand::check_options() const {
  if (!resume_.empty()) {
    if (out_.empty() && rehearse_.empty() && bench_.empty()) return;
    throw UsageError(
        "--resume FOLDER knows film, bench and folder: leave out --rehearse, "
        "--bench and --out");
  }
  if (rehearse_.empty()) {
    throw UsageError(
        "--rehearse FILE is required: the film in the camera's place (cameras "
        "themselves cannot be opened yet)");
  }
  if (out_.empty()) throw UsageError("--out FOLDER is required");
  if (no_page_ && !listen_.empty()) {
    throw UsageError("--listen is for the page that --no-page leaves out");
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
  rehearse_ = cut_off->begin.film;
  profile_ = cut_off->begin.profile;
  return cut_off;
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

int LiveCommand::run() {
  check_options();
  const std::optional<CutOff> cut_off = take_up();
  const NamedText profile_text = find_profile(profile_);
  JobFiles files;
  files.reads("--rehearse", rehearse_);
  files.reads("--profile", profile_text.file);
  files.reads("--bench", bench_);
  calibration_.declare(files);
  judging_.declare(files);
  filing_.declare(files);
  std::vector<std::string_view> names = session_file_names();
  names.insert(names.end(), {kJournalFile, kFrameLogFile});
  files.writes_in("--out", out_, names);
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
  options.measure.bench_of_this_film =
      cut_off ? cut_off->begin.of_this_film : bench_.empty();
  std::optional<FeedPictures> pictures;
  // Of frames that were seen before it was cut off there are none.
  if (pictures_ != "none" && !cut_off) pictures.emplace(staged.path());
  options.measure.onlooker = onlooker_of(pictures);
  CalibrationResult calibrated;
  const bool calibrates = bench_.empty() && !cut_off;
  if (calibrates) {
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
  const Bench bench = cut_off      ? parse_bench(cut_off->begin.bench, out_)
                      : calibrates ? calibrated.bench
                                   : load_bench(bench_);
  if (!cut_off) {  // of a session that came to its end
    std::error_code none;
    fs::remove(out / kJournalFile, none);
    fs::remove(out / kFrameLogFile, none);
  }
  StopSignals stop;
  VideoSource source(rehearse_, options.measure.video);
  Measurement measurement;
  TrialLog log;
  {
    BenchLine line(quiet_);
    std::unique_ptr<LiveRun> run;
    std::unique_ptr<LiveDesk> desk;  // asks it, and goes first
    bool silent = cut_off.has_value();
    run = std::make_unique<LiveRun>(
        bench,
        profile,
        options,
        [&](const LiveEvent& event) {
          if (silent) return;
          desk->event(event);
          line.tell(event, *run->engine().state());
        },
        [&](const FrameSightings& frame) { desk->frame(frame); });
    desk = std::make_unique<LiveDesk>(
        out, profile, cut_off ? cut_off->log : TrialLog(), [&run] {
          return run->engine().state();
        });
    FrameGiver give = [&source] { return source.next(); };
    if (cut_off) {
      give = after_frame(give, replay(*cut_off, run->engine()));
      silent = false;
      const auto state = run->engine().state();
      desk->resumed(state->t_s, static_cast<int>(state->feeds.size()));
      line.say(
          fmt::format("taken up again with {}",
                      counted(static_cast<int>(state->feeds.size()), "feed")));
    } else {
      desk->begin({fs::absolute(rehearse_).string(),
                   profile_,
                   bench_text(bench),
                   bench_.empty()});
    }
    open_page(*desk, line);
    measurement = run->run({source.info(),
                            opening_stills(rehearse_, options.measure.video),
                            fast_ ? until_stopped(give, stop.wanted())
                                  : at_own_speed(give, stop.wanted())});
    if (!stop.wanted()) measurement.notes = source.notes();
    log = desk->log();
    require_feeds(measurement, rehearse_);
    if (cut_off) {
      measurement.notes.push_back(
          fmt::format("the live session was cut off, and taken up again at "
                      "{:.1f} s: what flew between is missing",
                      run->engine().state()->t_s));
    }
    const WrittenSession written =
        write_session({rehearse_,
                       profile_text,
                       profile,
                       bench,
                       measurement,
                       calibrated.warnings,
                       pictures_ == "doubtful",
                       logs_of(measurement.fit, log)},
                      judging,
                      filing_,
                      pictures,
                      staged,
                      out);
    desk->end();
    if (!quiet_) {
      line.say(words_at_the_end(
          written,
          measurement,
          {out,
           false,
           calibrates,
           pictures ? pictures_ : "none",
           "  journal.jsonl, sightings.log: what was told and seen, when\n"}));
      print_words(written.filed);
    }
    return judging_.exit_code(written.result);
  }
}

}  // namespace evenfeed
