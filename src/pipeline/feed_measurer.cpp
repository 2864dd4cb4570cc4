// SPDX-License-Identifier: MIT
#include "pipeline/feed_measurer.h"

#include "base/units.h"
#include "flight/flown_images.h"
#include "flight/return_fit.h"
#include "pipeline/missing_feeds.h"
#include "pipeline/speed_change.h"

#include <cmath>
#include <iterator>
#include <limits>
#include <string>

namespace evenfeed {
namespace {

constexpr std::size_t kMostKept = 20000;  // sightings: 2 MB, 500 feeds
constexpr double kAgain_s = 120;  // a table is seen to be glossy within that
constexpr double kHalt_px = 1.5;  // a ball that flies moves further

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

}  // namespace

FeedMeasurer::FeedMeasurer(const Bench& bench,
                           const Profile& profile,
                           const MeasureOptions& options)
    : bench_(bench),
      profile_(profile),
      options_(options),
      gloss_(bench.camera, profile.surface),
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
  if (seen_sightings_ < kMostKept && !sightings.empty()) {
    seen_.push_back({t_frame_s, sightings});
    seen_sightings_ += sightings.size();
  }
  const bool may_begin_again =
      t_frame_s < kAgain_s && seen_sightings_ < kMostKept;
  if (may_begin_again) frames_s_.push_back(t_frame_s);
  const bool known = gloss_.known();
  gloss_.add_frame(t_frame_s, sightings);
  if (gloss_.known() && !known && may_begin_again) {
    begin_again();
  } else {
    follow(t_frame_s, sightings);
  }
}

void FeedMeasurer::follow(double t_frame_s,
                          const std::vector<Sighting>& sightings) {
  const std::vector<Sighting> balls = gloss_.without_images(sightings);
  std::vector<Eigen::Vector2d> places_px;
  for (const Sighting& s : balls) places_px.push_back(s.centre_px);
  halting_.add(places_px, t_frame_s);
  finder_.add(tracks_.add_frame(t_frame_s, balls));
  append(found_, finder_.advance(t_frame_s, tracks_.open_since_s()));
}

// Those before it was known were found among the images.
void FeedMeasurer::begin_again() {
  ++begun_again_;
  tracks_ = TrackBuilder(options_.tracks);
  finder_.forget();
  halting_ = HaltingBalls(kHalt_px * picture_scale(bench_.camera));
  found_.clear();
  auto seen = seen_.begin();
  for (const double t_s : frames_s_) {
    const bool here = seen != seen_.end() && seen->t_s == t_s;
    follow(t_s, here ? seen->sightings : std::vector<Sighting>{});
    if (here) ++seen;
  }
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
  std::vector<Track> strays = finder_.take_strays();
  const int images =
      gloss_.known()
          ? drop_flown_images(found_, strays, bench_.camera, profile_.flight)
          : 0;
  give_returns(found_, finder_.take_returns(), options_.finder.settle_s);
  result_.fit = fit_session(std::move(found_),
                            bench_,
                            profile_.flight,
                            ends(),
                            options_.session,
                            std::move(strays));
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
  result_.counts.feeds -= images + result_.fit.not_feeds;
  result_.counts.strays += result_.fit.not_feeds;
  return std::move(result_);
}

// Another time scale is looked for only where the film's own leaves doubts, or
// what flew between the feeds does.
void FeedMeasurer::tell_time_scale(double said, Measurement& result) const {
  std::vector<std::string>& warnings = result.fit.warnings;
  if (doubts_time_scale(result.fit)) {
    result.time_scale = find_time_scale(opening(), bench_, profile_, options_);
  }
  if (result.time_scale) {
    result.time_scale->said = said;
    warnings.insert(warnings.begin(), time_scale_words(*result.time_scale));
    return;
  }
  auto change =
      find_speed_change(seen_, result.fit, bench_, profile_, options_);
  if (!change) return;
  change->scale.said = said;
  warnings.insert(warnings.begin(), speed_change_words(*change));
}

}  // namespace evenfeed
