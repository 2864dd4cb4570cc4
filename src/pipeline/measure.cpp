// SPDX-License-Identifier: MIT
#include "pipeline/measure.h"

#include "base/check.h"
#include "base/counted.h"
#include "base/error.h"
#include "base/units.h"
#include "calibration/bench_of_film.h"
#include "film/video_source.h"
#include "flight/return_fit.h"
#include "geometry/halting_words.h"
#include "geometry/steady_view.h"
#include "pipeline/frame_step.h"
#include "pipeline/listener.h"
#include "pipeline/missing_feeds.h"
#include "pipeline/speed_change.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kLostTooLong_s = 5;
constexpr double kLostTooMuch = 0.1;  // of a film
constexpr std::size_t kMostKept = 20000;  // sightings: 2 MB, 500 feeds
constexpr double kWorthTelling_px = 0.5;  // of a sway
constexpr double kHalt_px = 1.5;          // a ball that flies moves further

// Another time scale is looked for only where the film's own leaves doubts, or
// what flew between the feeds does.
void tell_time_scale(const FeedMeasurer& measurer,
                     const Bench& bench,
                     const Profile& profile,
                     const MeasureOptions& options,
                     double said,
                     Measurement& result) {
  std::vector<std::string>& warnings = result.fit.warnings;
  if (doubts_time_scale(result.fit)) {
    result.time_scale =
        find_time_scale(measurer.opening(), bench, profile, options);
  }
  if (result.time_scale) {
    result.time_scale->said = said;
    warnings.insert(warnings.begin(), time_scale_words(*result.time_scale));
    return;
  }
  auto change =
      find_speed_change(measurer.seen(), result.fit, bench, profile, options);
  if (!change) return;
  change->scale.said = said;
  warnings.insert(warnings.begin(), speed_change_words(*change));
}

void append(std::vector<FoundFeed>& to, std::vector<FoundFeed> from) {
  std::move(from.begin(), from.end(), std::back_inserter(to));
}

// Where a feed landed when it is not where feeds count.
void note_landing(const Profile& profile, Feed& feed) {
  if (feed.status == FeedStatus::kUnmeasured) return;
  const Eigen::Vector2d landing(m_from_mm(feed[Characteristic::kX].value),
                                m_from_mm(feed[Characteristic::kY].value));
  if (profile.landing_zone.contains(landing)) return;
  if (!profile.surface.contains(landing)) {
    feed.add_note("missed the table");
  } else if (profile.surface.net.present &&
             landing.x() < profile.surface.net.x_m) {
    feed.add_note("bounced on the launcher's half");
  } else {
    feed.add_note("outside the landing zone");
  }
}

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

// The flight as the film shows it, by how the camera stood at the time.
void place_in_film(const std::vector<CameraStance>& stances,
                   const CameraModel& calibrated,
                   double height_m,
                   std::vector<FlownFeed>& feeds) {
  for (const CameraStance& stance : stances) {
    const SteadyView as_filmed(stance.camera, calibrated, height_m);
    for (FlownFeed& feed : feeds) {
      for (FlownPoint& point : feed.path) {
        if (point.t_s < stance.from_s) continue;
        point.film_px = as_filmed(point.place_px);
      }
    }
  }
}

void tell_moves(const CameraWatch& watch,
                const std::vector<CameraStance>& stances,
                const Bench& bench,
                const Profile& profile,
                const MeasureOptions& options,
                Measurement& result) {
  result.camera_moves = camera_moves(bench.camera, stances, profile.surface);
  note_moves(stances, options.detector.background.settle_s, result.fit.feeds);
  std::vector<std::string>& warnings = result.fit.warnings;
  for (std::string& words : words_on_moves(result.camera_moves)) {
    warnings.push_back(std::move(words));
  }
  const double sway_px = watch.sway().shift_px;
  if (sway_px > kWorthTelling_px) {
    warnings.push_back(fmt::format(
        "the camera sways by {:.1f} px beside what could be followed: every "
        "feed is stated as that much less certain. Fix its mount, and turn "
        "digital stabilisation off",
        sway_px));
  }
  if (!watch.watching()) {
    warnings.emplace_back(
        "too little of the surface's lines is seen to notice whether the "
        "camera was moved");
  }
  const double every_s = options.watch.every_s;
  const int noted = note_lost(watch.lost_at_s(), every_s, result.fit.feeds);
  const double lost_s = every_s * static_cast<double>(watch.lost_at_s().size());
  const double most_s =
      std::min(kLostTooLong_s, kLostTooMuch * result.duration_s);
  if (noted > 0 || lost_s > most_s) {
    warnings.push_back(fmt::format(
        "for {:.0f} s the surface's lines could not be found: hidden, or the "
        "camera was moved far (feeds measured then: {})",
        lost_s,
        noted));
  }
}

}  // namespace

double clock_sd_of(const VideoInfo& film, const MeasureOptions& options) {
  return film.clock_known ? 0 : options.retimed_sd;
}

void MeasureOptions::check() const {
  video.check();
  detector.check();
  tracks.check();
  finder.check();
  session.check();
  watch.check();
  require_in_range(retimed_sd, 0, 1, "retimed_sd");
}

FeedMeasurer::FeedMeasurer(const Bench& bench,
                           const Profile& profile,
                           const MeasureOptions& options)
    : bench_(bench),
      profile_(profile),
      options_(options),
      tracks_(options.tracks),
      finder_(bench.camera, profile.surface, profile.flight, options.finder),
      halting_(kHalt_px * picture_scale(bench.camera)) {
  options_.check();
}

void FeedMeasurer::add_frame(double t_frame_s,
                             const std::vector<Sighting>& sightings) {
  ++result_.frames;
  result_.duration_s = t_frame_s;
  if (options_.keep_sightings) {
    result_.sightings.insert(
        result_.sightings.end(), sightings.begin(), sightings.end());
  }
  std::vector<Eigen::Vector2d> places_px;
  for (const Sighting& s : sightings) places_px.push_back(s.centre_px);
  halting_.add(places_px, t_frame_s);
  if (seen_sightings_ < kMostKept && !sightings.empty()) {
    seen_.push_back({t_frame_s, sightings});
    seen_sightings_ += sightings.size();
  }
  finder_.add(tracks_.add_frame(t_frame_s, sightings));
  append(found_, finder_.advance(t_frame_s, tracks_.open_since_s()));
}

void FeedMeasurer::note_clock(double t_s, double s_t_s) {
  constexpr double kSame = 0.1;
  const double before_s = clock_.empty() ? 0 : clock_.rbegin()->second;
  if (std::abs(s_t_s - before_s) > kSame * before_s) clock_[t_s] = s_t_s;
}

void FeedMeasurer::allow_for_clock(Feed& feed) const {
  const auto after = clock_.upper_bound(feed.t_bounce_s);
  if (after == clock_.begin()) return;
  feed.st_bounce_s = std::hypot(feed.st_bounce_s, std::prev(after)->second);
}

std::vector<TimedFrame> FeedMeasurer::opening() const {
  std::vector<TimedFrame> opening;
  std::size_t sightings = 0;
  for (const TimedFrame& one : seen_) {
    if (sightings >= kTimeScaleSightings) break;
    sightings += one.sightings.size();
    opening.push_back(one);
  }
  return opening;
}

FeedEnds FeedMeasurer::ends() const {
  constexpr double kLean_deg = 20;  // upright or clamped at an angle
  FeedEnds ends;
  ends.sample_x_m = profile_.sample.x_m;
  ends.sample_sd_m = profile_.sample.sd_m;
  ends.sample_lean_rad = profile_.sample.lean_rad.value_or(0);
  if (!profile_.sample.lean_rad && std::isnan(ends.sample_x_m)) {
    ends.sample_lean_sd_rad = rad_from_deg(kLean_deg);
  }
  ends.net_x_m = profile_.surface.net.x_m;
  return ends;
}

Measurement FeedMeasurer::finish(const CameraSway& sway) {
  finder_.add(tracks_.finish());
  append(found_, finder_.finish());
  return fitted(sway);
}

Measurement FeedMeasurer::so_far(const CameraSway& sway) const {
  FeedMeasurer ended_now(*this);
  return ended_now.fitted(sway);
}

ToldSoFar FeedMeasurer::nothing_told() const {
  return {bench_.camera, profile_.flight, 1, ends()};
}

Feed FeedMeasurer::measure_now(const FoundFeed& feed,
                               const ToldSoFar& told) const {
  Feed row =
      measure_alone(feed, bench_.camera, told, options_.session.measurable);
  note_landing(profile_, row);
  allow_for_clock(row);
  return row;
}

Measurement FeedMeasurer::fitted(const CameraSway& sway) {
  options_.session.sway = sway;
  give_returns(found_, finder_.take_returns(), options_.finder.settle_s);
  result_.fit = fit_session(std::move(found_),
                            bench_,
                            profile_.flight,
                            ends(),
                            options_.session,
                            finder_.take_strays());
  for (Feed& feed : result_.fit.feeds) {
    note_landing(profile_, feed);
    allow_for_clock(feed);
  }
  const std::vector<FeedGap> gaps = find_feed_gaps(result_.fit.feeds);
  if (!gaps.empty()) result_.fit.warnings.push_back(feed_gap_words(gaps));
  result_.counts = finder_.counts();
  result_.saved_again = halting_.many();
  result_.mistimed = halting_.mistimed();
  result_.counts.feeds += result_.fit.lost_launches;
  result_.counts.strays -= result_.fit.lost_launches;
  result_.counts.feeds -= result_.fit.not_feeds;
  result_.counts.strays += result_.fit.not_feeds;
  return std::move(result_);
}

FrameMeasurer::FrameMeasurer(const Bench& bench,
                             const Profile& profile,
                             const MeasureOptions& options)
    : bench_(bench),
      profile_(profile),
      options_(options),
      steady_(bench.camera,
              profile.flight.ball.radius_m,
              options.detector.background.settle_s),
      feeds_(bench, profile, options) {}

void FrameMeasurer::add(FrameSightings frame) {
  feeds_.note_clock(frame.t_s, frame.s_t_s);
  steady_.add(std::move(frame));
  measure_settled();
}

void FrameMeasurer::end(WatchNews last) {
  steady_.finish(std::move(last));
  measure_settled();
}

void FrameMeasurer::measure_settled() {
  while (const auto frame = steady_.next()) {
    feeds_.add_frame(frame->t_s, frame->sightings);
    settled_s_ = frame->t_s;
  }
}

std::vector<double> FrameMeasurer::note_joins(std::vector<double> joins_s) {
  constexpr double kDated_s = 1;  // a knock, by looks half a second apart
  std::erase_if(joins_s, [&](double join_s) {
    return std::any_of(steady_.stances().begin(),
                       steady_.stances().end(),
                       [&](const CameraStance& stance) {
                         return stance.from_s > 0 &&
                                std::abs(stance.from_s - join_s) < kDated_s;
                       });
  });
  feeds_.note_joins(joins_s);
  return joins_s;
}

Measurement FrameMeasurer::finish(const CameraWatch& watch, double slow) {
  Measurement result = feeds_.finish(watch.sway());
  result.slow = slow;
  place_in_film(steady_.stances(),
                bench_.camera,
                profile_.flight.ball.radius_m,
                result.fit.flown);
  tell_time_scale(feeds_, bench_, profile_, options_, slow, result);
  tell_moves(watch, steady_.stances(), bench_, profile_, options_, result);
  return result;
}

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
  tell_time_scale(measurer,
                  bench,
                  profile,
                  options,
                  options.video.slow.value_or(1),
                  result);
  return result;
}

}  // namespace evenfeed
