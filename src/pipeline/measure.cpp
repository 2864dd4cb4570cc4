// SPDX-License-Identifier: MIT
#include "pipeline/measure.h"

#include "base/counted.h"
#include "base/error.h"
#include "calibration/bench_of_film.h"
#include "film/video_source.h"
#include "geometry/halting_words.h"
#include "pipeline/frame_measurer.h"
#include "pipeline/frame_step.h"
#include "pipeline/listener.h"

#include <string>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// A wrong bench measures without a word, and wrongly.
void require_bench_of_film(const std::filesystem::path& film,
                           const std::vector<Frame>& stills,
                           const Bench& bench,
                           const Profile& profile) {
  const std::string why =
      why_not_of_film(stills, bench.camera, profile.surface);
  if (why.empty()) return;
  throw InputError(film.string(),
                   "this bench is not of this film: " + why,
                   "Calibrate this film: evenfeed calibrate, or session "
                   "without --bench");
}

std::string joins_words(const std::filesystem::path& film,
                        const std::vector<double>& joins_s) {
  return fmt::format(
      "{}: the film was cut and put together, at {} (first at {:.2f} s): what "
      "flew then is not measured. {}",
      film.string(),
      counted(static_cast<std::int64_t>(joins_s.size()), "place"),
      joins_s.front(),
      kGiveAsTaken);
}

}  // namespace

Measurement measure_film(const std::filesystem::path& film,
                         const Bench& bench,
                         const Profile& profile,
                         const MeasureOptions& options,
                         const ProgressCallback& progress) {
  VideoSource source(film, options.video);
  require_film(source.info());
  require_same_picture(source.info(), bench.camera);
  BallDetector detector(
      options.detector, bench.camera, profile.surface, profile.flight.ball);
  const std::vector<Frame> stills = opening_stills(film);
  if (!options.bench_of_this_film) {
    require_bench_of_film(film, stills, bench, profile);
  }
  detector.learn(stills);
  if (options.onlooker.begin) options.onlooker.begin(source.info(), stills);
  CameraWatch watch(bench.camera, profile.surface, options.watch);
  MeasureOptions own = options;
  own.session.joint.clock_sd = clock_sd_of(source.info(), options);
  FrameMeasurer measurer(bench, profile, own);
  Listener listener(film, options, source.info().slow);
  MeasureProgress state;
  state.expected_frames = source.info().expected_frames;
  {  // the source belongs to it while it lives
    FilmSightings film_sightings(
        source, detector, options.in_threads, &watch, options.onlooker.frame);
    while (auto frame = film_sightings.next()) {
      measurer.add(std::move(*frame));
      ++state.frames;
      state.feeds = measurer.feeds().feeds();
      if (progress) progress(state);
    }
  }
  measurer.end(watch.take_news());
  if (auto ticks = listener.ticks()) {
    measurer.feeds().give_ear(
        ear_of(std::move(*ticks), bench.camera, profile, options));
  }
  const std::vector<double> joins_s = measurer.note_joins(source.joins_s());
  Measurement result = measurer.finish(watch, source.info().slow);
  result.why_silent = listener.why_silent();
  result.notes = source.notes();
  if (result.saved_again) {
    result.notes.push_back(
        fmt::format("{}: {}. {}", film.string(), kHaltingWords, kGiveAsTaken));
  }
  if (!joins_s.empty()) result.notes.push_back(joins_words(film, joins_s));
  return result;
}

Measurement measure_sightings(std::vector<Sighting> sightings,
                              const Bench& bench,
                              const Profile& profile,
                              const MeasureOptions& options) {
  FeedMeasurer measurer(bench, profile, options);
  for (const std::vector<Sighting>& frame : by_frames(std::move(sightings))) {
    measurer.add_frame(frame.front().t_s, frame);
  }
  Measurement result = measurer.finish();
  measurer.tell_time_scale(options.video.slow.value_or(1), result);
  return result;
}

}  // namespace evenfeed
