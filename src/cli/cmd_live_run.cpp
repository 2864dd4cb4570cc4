// SPDX-License-Identifier: MIT
// From the camera to the last picture; before and after it, cmd_live.cpp.
#include "base/counted.h"
#include "base/error.h"
#include "calibration/bench_of_film.h"
#include "cli/bench_line.h"
#include "cli/calibration_args.h"
#include "cli/cmd_live.h"
#include "cli/live_job.h"
#include "cli/live_keyboard.h"
#include "cli/live_resume.h"
#include "cli/measure_words.h"
#include "cli/progress_line.h"
#include "cli/qr_code.h"
#include "geometry/halting_words.h"

#include <filesystem>
#include <memory>

#include <fmt/format.h>
#include <unistd.h>

namespace evenfeed {

namespace fs = std::filesystem;

namespace {

// Of the camera's film: what stands still is learnt from it, and the bench
// found in somewhat more.
constexpr double kOpening_s = 2;
constexpr double kBenchOpening_s = 3;
// In the folder while it is looked at.
constexpr const char* kLookPicture = "camera-view.png";

}  // namespace

ServerOptions LiveCommand::page_options() const {
  ServerOptions options;
  options.port = port_;
  if (!listen_.empty()) {
    options.address = listen_;
    options.look_token = new_token();
    options.act_token = new_token();
  }
  return options;
}

void LiveCommand::open_page(LiveDesk& desk, BenchLine& line) const {
  if (no_page_) return;
  const ServerOptions options = page_options();
  desk.open_page(options);
  line.say("bench page: " + desk.page_address());
  if (options.look_token.empty()) return;
  if (const auto code = qr_code(desk.page_address())) {
    line.show_picture(qr_lines(*code), qr_columns(*code));
  }
  const std::string address = desk.page_address();
  line.say("to look only: " + address.substr(0, address.find('?')) +
           "?key=" + options.look_token);
}

void LiveCommand::see_opening(LiveJob& job) const {
  job.opening = opening_stills(
      job.camera ? job.camera->film_of(kOpening_s) : fs::path(rehearse_),
      job.options.measure.video);
}

// As of a film: a camera that was moved since would measure wrongly without a
// word. One that is taken up again is watched instead: a session that cannot be
// gone on with would be lost.
void LiveCommand::require_bench_of_camera(LiveJob& job) const {
  see_opening(job);
  if (job.opening.empty()) return;
  VideoInfo shown;
  shown.file = job.camera ? camera_.address : rehearse_;
  shown.width_px = job.opening.front().luma.cols;
  shown.height_px = job.opening.front().luma.rows;
  require_same_picture(shown, job.bench.camera);
  const std::string why =
      why_not_of_film(job.opening, job.bench.camera, job.profile.surface);
  if (why.empty()) return;
  throw InputError(
      session_.bench,
      "this bench is not what the camera shows now: " + why,
      "Clear the table, set the camera as it was, or leave out --bench: the "
      "table is then found anew");
}

// Of a session that did not begin.
void LiveCommand::drop_record(LiveJob& job) const {
  if (!job.camera) return;
  (void)job.camera->close();
  std::error_code none;
  fs::remove(job.record, none);
}

// Told before, of the film's opening, or from a file.
void LiveCommand::find_bench(LiveJob& job,
                             const CalibrationOptions& calibration,
                             const std::atomic<bool>& stop,
                             BenchLine& told) const {
  if (job.cut_off) {
    job.bench = parse_bench(job.cut_off->begin.bench, out_);
    job.options.measure.bench_of_this_film = job.cut_off->begin.of_this_film;
    return;
  }
  job.options.measure.bench_of_this_film = session_.bench.empty();
  if (!session_.bench.empty()) {
    job.bench = load_bench(session_.bench);
    try {
      require_bench_of_camera(job);
    } catch (const InputError&) {
      drop_record(job);
      throw;
    }
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
  // What is piped in comes where an answer would.
  if (yes_ || quiet_ || camera_.address == "-" || !person_at(STDIN_FILENO)) {
    return;
  }
  ask_to_go_on(job, stop, told);
}

// All that follows rests on the table that was found: a person looks at it.
void LiveCommand::ask_to_go_on(LiveJob& job,
                               const std::atomic<bool>& stop,
                               BenchLine& line) const {
  const fs::path look = job.out / kLookPicture;
  std::error_code none;
  fs::copy_file(job.staged.path() / "overlay.png",
                look,
                fs::copy_options::overwrite_existing,
                none);
  line.say(bench_words(job.bench));
  for (const std::string& one : job.calibrated.warnings) line.say(one);
  line.say(look.string() +
           " has the table drawn in as it was found. Does it lie on the "
           "table?\nEnter: go on.  m and Enter: move the camera and begin "
           "again");
  const auto answer = typed_line(STDIN_FILENO, stop);
  fs::remove(look, none);
  if (!answer || answer->empty() || *answer == "y") return;
  drop_record(job);
  throw InputError("the camera",
                   "it is to be moved: nothing was measured or kept",
                   "Begin again when it stands");
}

void LiveCommand::set_up_desk(LiveJob& job, BenchLine& line) const {
  job.silent = job.cut_off.has_value();
  job.run = std::make_unique<LiveRun>(
      job.bench,
      job.profile,
      job.options,
      [&](const LiveEvent& event) {
        if (job.silent) return;
        job.desk->event(event);
        line.tell(event, *job.run->engine().state(), job.desk->order_words());
      },
      [&](const FrameSightings& frame) { job.desk->frame(frame); });
  job.desk =
      std::make_unique<LiveDesk>(job.out,
                                 job.profile,
                                 job.cut_off ? job.cut_off->log : TrialLog(),
                                 job.order,
                                 [&job] { return job.run->engine().state(); });
}

// Its film is what the bench is found in, and what is still is learnt from.
void LiveCommand::open_camera(LiveJob& job,
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
LiveFrames LiveCommand::take_up_again(LiveJob& job,
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

LiveFrames LiveCommand::frames_of(LiveJob& job,
                                  const std::atomic<bool>& stop,
                                  int seen) const {
  if (job.opening.empty()) see_opening(job);
  if (job.camera) {
    job.camera->report_to(job.run->engine());
    return job.camera->frames(std::move(job.opening));
  }
  job.rehearsal =
      std::make_unique<VideoSource>(rehearse_, job.options.measure.video);
  FrameGiver give = [&job] { return job.rehearsal->next(); };
  if (seen >= 0) give = after_frame(give, seen);
  LiveFrames film{job.rehearsal->info(), std::move(job.opening), {}};
  if (!fast_) {
    film.next = std::move(give);
    return at_own_speed(std::move(film), stop);
  }
  film.next = until_stopped(std::move(give), stop);
  return film;
}

// Frames as they come, to their end or until somebody says so.
Measurement LiveCommand::watch(LiveJob& job,
                               std::atomic<bool>& stop,
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
                     asked.rate_hz,
                     job.order_text});
    open_page(*job.desk, line);
    if (!job.order.empty()) line.say("order: " + job.desk->order_words());
    frames = frames_of(job, stop, -1);
  }
  // What is piped in comes where keys would.
  std::optional<LiveKeyboard> keyboard;
  if (!quiet_ && camera_.address != "-") {
    keyboard.emplace(*job.desk, line, stop);
  }
  Measurement measurement = job.run->run(std::move(frames));
  if (job.camera) {
    measurement.notes = job.camera->close();
  } else if (!stop) {
    measurement.notes = job.rehearsal->notes();
  }
  require_feeds(measurement, film(job).string());
  if (measurement.mistimed) {  // what was watched is kept, and told
    measurement.notes.push_back(film(job).string() + ": " + kMistimedWords);
  }
  if (job.cut_off) {
    measurement.notes.push_back(
        fmt::format("the live session was cut off, and taken up again at "
                    "{:.1f} s: what flew between is missing",
                    job.run->engine().state()->t_s));
  }
  return measurement;
}

}  // namespace evenfeed
