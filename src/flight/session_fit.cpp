// SPDX-License-Identifier: MIT
#include "flight/session_fit.h"

#include "base/nan.h"
#include "base/parallel.h"
#include "flight/empty_beats.h"
#include "flight/end_at_contact.h"
#include "flight/flat_valley.h"
#include "flight/foretold_rest.h"
#include "flight/launch_mouth.h"
#include "flight/lost_launches.h"
#include "flight/near_bounce.h"
#include "flight/one_feed.h"
#include "flight/rest_of_flight.h"
#include "flight/return_fit.h"
#include "flight/reunite_pieces.h"
#include "flight/second_look.h"
#include "flight/session_warnings.h"
#include "flight/shutter_times.h"
#include "flight/swaying_camera.h"
#include "flight/turn_at_sample.h"
#include "flight/unlike_bounce.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace evenfeed {
namespace {

// What a bounce close to the end of the sightings must gain to be believed, in
// squared sigmas: five sigmas twice over before the session has told how its
// errors go together and what its flights share, kLikelierBounce after that.
constexpr double kBeyondDoubt = 50;

void refit_all(std::vector<FoundFeed>& found,
               const CameraModel& camera,
               const FlightOptions& options) {
  for_each_index(found.size(), [&](std::size_t i) {
    FoundFeed& feed = found[i];
    if (!feed.fit.ok()) return;
    FlightFit again =
        refine_flight(feed.sightings, camera, options, feed.fit.parameters);
    if (again.ok()) feed.fit = std::move(again);
  });
}

double pooled_scale(const std::vector<FoundFeed>& found) {
  std::vector<const FlightFit*> fits;
  for (const FoundFeed& feed : found) fits.push_back(&feed.fit);
  return std::sqrt(pooled_reduced_chi2(fits).value_or(1));
}

void scale_sigmas(std::vector<FoundFeed>& found,
                  std::vector<Track>& strays,
                  double scale) {
  const auto widen = [&](Sighting& s) { s.sigma_px *= scale; };
  for (FoundFeed& feed : found) feed.for_each_sighting(widen);
  for (Track& stray : strays) {
    std::for_each(stray.sightings.begin(), stray.sightings.end(), widen);
  }
}

// Of what was stated half is kept at least: what all sightings are off by
// alike, as a ball that is lit from one side, does not show in how they
// scatter.
double bounded(double scale, double so_far) {
  constexpr double kLeast = 0.5;
  return std::max(scale, kLeast / so_far);
}

// How well the middle of the exposure is known, s.
double find_exposure(std::vector<FoundFeed>& found,
                     std::vector<Track>& strays,
                     CameraModel& camera,
                     const FlightOptions& options,
                     const SessionFitOptions& session) {
  double sd_s = 0;
  if (session.estimate_exposure && !camera.exposure_s) {
    const auto seen = exposure_from_streaks(found, camera, options);
    restamp(found,
            strays,
            camera,
            seen ? std::optional(seen->mean) : std::nullopt,
            camera.readout_s);
    if (seen) sd_s = seen->sd / 2;
  }
  refit_all(found, camera, options);
  return sd_s;
}

// Takes over what the joint adjustment found: camera, times, priors, starts.
void take_over(const JointAdjustment& joint,
               std::vector<FoundFeed>& found,
               std::vector<Track>& strays,
               Bench& bench,
               FlightOptions& options) {
  bench.camera =
      moved_camera(bench.camera, joint.after.tail<kCameraParameters>());
  restamp(found,
          strays,
          bench.camera,
          bench.camera.exposure_s,
          bench.camera.readout_or_zero_s() + joint.after[kSessionReadout]);
  std::array<Prior, kSharedPriors> priors;
  for (std::size_t k = 0; k < priors.size(); ++k) {
    priors[k] = {joint.after[static_cast<int>(k)], joint.spread[k]};
  }
  put_priors(priors, options);
  if (options.launch_height) {
    options.launch_height->plane_x_m += joint.after[kSessionLaunchPlace];
  }
  for (std::size_t i = 0; i < joint.feeds.size(); ++i) {
    found[joint.feeds[i]].fit.parameters = joint.flights[i];
  }
}

// Solves all feeds together, then once more with sigmas of the size that the
// residuals show.
JointAdjustment adjusted(std::vector<FoundFeed>& found,
                         std::vector<Track>& strays,
                         const Bench& bench,
                         const FlightOptions& options,
                         JointOptions joint_options,
                         double& sigma_scale) {
  const JointAdjustment first =
      adjust_jointly(found, bench, options, joint_options);
  if (!first.done) return first;
  const double scale = bounded(
      first.scatter * std::sqrt(first.sightings_per_error), sigma_scale);
  scale_sigmas(found, strays, scale);
  sigma_scale *= scale;
  // No sensor reads backwards: then the feeds cannot tell, and none is taken.
  if (first.after[kSessionReadout] < 0) joint_options.readout_s = {0, 0};
  return adjust_jointly(found, bench, options, joint_options);
}

std::vector<SharedQuantity> shared_quantities(const JointAdjustment& joint) {
  struct Shown {
    int place;
    const char* name;
    const char* unit;
    double scale;
  };
  static constexpr Shown kShown[] = {
      {kSessionDrag, "drag coefficient", "", 1},
      {kSessionLiftIn, "lift coefficient before the bounce", "", 1},
      {kSessionLiftOut, "lift coefficient after the bounce", "", 1},
      {kSessionSideLiftIn, "side lift coefficient before the bounce", "", 1},
      {kSessionSideLiftOut, "side lift coefficient after the bounce", "", 1},
      {kSessionRestitution, "restitution", "", 1},
      {kSessionKick, "kick, beyond that without spin", "", 1},
      {kSessionTurn, "turn at the bounce", "mrad", 1e3},
      {kSessionLaunchHeight, "launch height", "mm", 1e3},
      {kSessionReadout, "readout, change", "ms", 1e3},
      {kSessionCamera, "focal length, change", "px", 1},
      {kSessionCamera + 8, "camera distance, change", "mm", 1e3},
  };
  std::vector<SharedQuantity> all;
  for (const Shown& one : kShown) {
    const double before_sd = joint.before_sd[one.place];
    if (before_sd == 0) continue;  // known, or not looked for
    SharedQuantity shared{one.name, one.unit, {}, {}};
    shared.before = {one.scale * joint.before[one.place],
                     one.scale * before_sd};
    shared.after = {
        one.scale * joint.after[one.place],
        one.scale * std::sqrt(joint.covariance(one.place, one.place))};
    all.push_back(std::move(shared));
  }
  return all;
}

bool return_was_seen(const FoundFeed& found) {
  constexpr std::size_t kFewest = 6;  // fewer may be a stray
  return std::any_of(
      found.returned.begin(), found.returned.end(), [](const Track& t) {
        return t.sightings.size() >= kFewest;
      });
}

// Near enough: being wrong by some decimetres along the table makes all bounces
// late alike, which is the offset's.
Ear placed(Ear ear, const FeedEnds& ends, const FlightOptions& options) {
  if (!ear.at_sample) return ear;
  const double x_m = std::isfinite(ends.sample_x_m)
                         ? ends.sample_x_m
                         : options.table.half_length_m;
  ear.microphone_m = {x_m, 0, ends.sample_z_m};
  return ear;
}

// Whose bounce or contact was heard, and why the others' were not.
template <typename Heard>
void tell_hearing(const Heard& heard, std::vector<Feed>& feeds) {
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    if (feeds[i].status == FeedStatus::kUnmeasured) continue;
    if (heard.by_ear[i] != 0) feeds[i].timing = "sight+sound";
    if (!heard.why[i].empty()) feeds[i].add_note(heard.why[i]);
  }
}

std::vector<Feed> derive_all(const std::vector<FoundFeed>& found,
                             const std::vector<ReturnFit>& returns,
                             const CameraModel& camera,
                             const FlightOptions& options,
                             const FeedEnds& ends,
                             const MeasurableLimits& limits) {
  const double frame_s = usual_frame_s(found);
  std::vector<Feed> feeds;
  for (std::size_t i = 0; i < found.size(); ++i) {
    Feed feed = derived_or_refused(found[i], options, ends, frame_s, limits);
    feed.number = static_cast<int>(i) + 1;
    if (returns[i].fit.ok() && feed.status != FeedStatus::kUnmeasured) {
      feed.returned = derive_return(
          returns[i], found[i].fit, camera, options, ends.net_x_m);
    } else if (return_was_seen(found[i])) {
      feed.add_note("a return was seen but could not be measured");
    }
    feeds.push_back(std::move(feed));
  }
  return feeds;
}

// One session on its way from found feeds to rows, step by step.
class Session {
 public:
  Session(std::vector<FoundFeed> found,
          std::vector<Track> strays,
          const Bench& bench,
          const FlightOptions& profile,
          const FeedEnds& told,
          const SessionFitOptions& asked)
      : found_(std::move(found)),
        strays_(std::move(strays)),
        bench_(bench),
        options_(profile),
        profile_(profile),
        told_(told),
        asked_(asked) {
    result_.ends = told;
    result_.common.sigma.fill(kNaN);
    result_.common.sigma_returned.fill(kNaN);
    result_.common.st_bounce_s = kNaN;
  }

  // Each feed by itself, with sigmas of the size that all of them show.
  void fit_one_by_one() {
    result_.not_feeds = take_in_rests(found_, strays_, camera_, options_);
    give_returns_their_first(found_, camera_, options_);
    middle_sd_s_ = find_exposure(found_, strays_, camera_, options_, asked_);
    result_.sigma_scale = bounded(pooled_scale(found_), 1);
    scale_sigmas(found_, strays_, result_.sigma_scale);
    trust_less_near_bounce(found_, camera_, options_);
    weigh_late_bounces(found_, camera_, options_, kBeyondDoubt);
    look_again(found_, camera_, options_);
  }

  // Now that shutter times are known, what did not fit together may.
  void put_pieces_together() {
    join_pieces();
    result_.not_feeds += drop_flights_from_elsewhere(found_, strays_, options_);
    result_.lost_launches =
        add_lost_launches(found_, strays_, camera_, options_, told_.net_x_m);
    put_in_order();
    refit_all(found_, camera_, options_);
    trust_less_near_bounce(found_, camera_, options_);
    refit_all(found_, camera_, options_);
  }

  void refuse_what_cannot_be() {
    refuse_flights();
    result_.not_feeds +=
        drop_what_was_not_launched(found_,
                                   camera_,
                                   options_,
                                   told_.net_x_m,
                                   asked_.measurable.fewest_sightings);
    result_.lost_launches +=
        add_on_empty_beats(found_, strays_, camera_, told_.net_x_m);
    put_in_order();
  }

  void adjust_jointly() {
    const double launch_x_m = launch_line_m(found_, camera_, options_);
    if (std::isnan(result_.ends.launch_x_m)) {
      result_.ends.launch_x_m = launch_x_m;
    }
    if (!asked_.adjust_jointly) return;
    options_.launch_height = launch_height(found_, options_, launch_x_m);
    const Bench calibrated = bench_;
    const FlightOptions believed = options_;
    constexpr int kMostRounds = 3;
    if (!solve_together()) return;
    for (int round = 0; round < kMostRounds && put_more_together(); ++round) {
      forget_adjustment(calibrated, believed);
      if (!solve_together()) return;
    }
    result_.shared = shared_quantities(joint_);
    result_.clock = joint_.clock;
    look_again(found_, camera_, options_);
    weigh_late_bounces(found_, camera_, options_, kLikelierBounce);
    refit_all(found_, camera_, options_);
    refuse_flights();
    refuse_unlike_bounces(found_);
  }

  void allow_for_valleys() { widen_in_flat_valleys(found_, camera_, options_); }

  void allow_for_the_camera() {
    allow_for_sway(found_, camera_, options_, asked_.sway);
  }

  void hear_bounces() {
    if (!asked_.ear) return;
    const Ear ear = placed(*asked_.ear, told_, options_);
    result_.heard = hear_session(ear, camera_, options_, found_, joint_);
  }

  void meet_the_sample() {
    see_returns();
    if (!sample_is_elsewhere(told_, result_.sample_seen) &&
        end_at_contact(found_,
                       returns_,
                       camera_,
                       options_,
                       with_sample_seen(result_.ends, result_.sample_seen)) >
            0) {
      see_returns();
    }
    if (sample_is_elsewhere(told_, result_.sample_seen)) {
      result_.sample_told_elsewhere_m = told_.sample_x_m;
    }
    result_.ends = with_sample_seen(result_.ends, result_.sample_seen);
  }

  void hear_the_contacts() {
    if (!result_.heard || !result_.heard->agrees) return;
    const Ear ear = placed(*asked_.ear, result_.ends, options_);
    result_.heard_contacts = hear_contacts(ear.ticks,
                                           ear.microphone_m,
                                           ear.hearing,
                                           result_.heard->clock,
                                           camera_,
                                           options_,
                                           result_.ends,
                                           found_);
    result_.ends = result_.heard_contacts->ends;
  }

  SessionFit rows() {
    if (joint_.done) {
      result_.common = common_errors_of(
          joint_,
          options_,
          result_.ends,
          moves_of_returns(found_,
                           returns_,
                           joint_,
                           camera_,
                           options_of_returns(options_, profile_),
                           result_.ends.net_x_m));
      result_.common.st_bounce_s =
          std::hypot(result_.common.st_bounce_s, middle_sd_s_);
    }
    result_.camera = camera_;
    result_.options = options_;
    result_.feeds = derive_all(
        found_, returns_, camera_, options_, result_.ends, asked_.measurable);
    if (result_.heard) tell_hearing(*result_.heard, result_.feeds);
    if (result_.heard_contacts) {
      tell_hearing(*result_.heard_contacts, result_.feeds);
    }
    for (std::size_t i = 0; i < found_.size(); ++i) {
      result_.flown.push_back(flown_feed(found_[i],
                                         returns_[i],
                                         result_.feeds[i],
                                         camera_,
                                         options_,
                                         result_.ends.net_x_m));
    }
    result_.warnings = session_warnings(result_);
    return std::move(result_);
  }

 private:
  bool solve_together() {
    joint_ = adjusted(
        found_, strays_, bench_, options_, asked_.joint, result_.sigma_scale);
    if (joint_.done) take_over(joint_, found_, strays_, bench_, options_);
    return joint_.done;
  }

  void join_pieces() {
    result_.not_feeds += take_in_rests(found_, strays_, camera_, options_);
    result_.not_feeds += reunite_pieces(found_, camera_, options_);
  }

  void put_in_order() {
    std::sort(found_.begin(), found_.end(), [](const auto& a, const auto& b) {
      return a.sightings.front().t_s < b.sightings.front().t_s;
    });
  }

  // A bounce far from what was believed hides that two pieces are one flight,
  // until the feeds that were seen whole have told what it is like.
  bool put_more_together() {
    const auto sightings = [&] {
      std::vector<std::size_t> of_each;
      for (const FoundFeed& feed : found_) {
        of_each.push_back(feed.sightings.size());
      }
      return of_each;
    };
    const auto before = sightings();
    join_pieces();
    result_.not_feeds +=
        find_foretold_rests(found_, strays_, camera_, options_);
    put_in_order();
    return sightings() != before;
  }

  void forget_adjustment(const Bench& calibrated,
                         const FlightOptions& believed) {
    restamp(found_,
            strays_,
            camera_,
            calibrated.camera.exposure_s,
            calibrated.camera.readout_s);
    bench_ = calibrated;
    options_ = believed;
  }

  // After each look that may have fitted again what was refused before.
  void refuse_flights() {
    refuse_doubtful(found_, camera_, asked_.measurable);
    refuse_joined(found_, asked_.joins_s);
    refuse_spliced(found_, camera_, options_, asked_.splice);
  }

  void see_returns() {
    returns_ = fit_returns(found_,
                           camera_,
                           options_of_returns(options_, profile_),
                           joint_.sightings_per_error);
    result_.sample_seen = sample_from_returns(
        found_,
        returns_,
        options_,
        Prior{told_.sample_lean_rad, told_.sample_lean_sd_rad});
  }

  std::vector<FoundFeed> found_;
  std::vector<Track> strays_;
  Bench bench_;
  CameraModel& camera_ = bench_.camera;
  FlightOptions options_;  // with what the feeds told
  const FlightOptions& profile_;
  const FeedEnds& told_;
  const SessionFitOptions& asked_;
  double middle_sd_s_ = 0;
  JointAdjustment joint_;
  std::vector<ReturnFit> returns_;
  SessionFit result_;
};

}  // namespace

void SessionFitOptions::check() const {
  joint.check();
  measurable.check();
  splice.check();
}

SessionFit fit_session(std::vector<FoundFeed> found,
                       const Bench& bench,
                       const FlightOptions& options,
                       const FeedEnds& ends,
                       const SessionFitOptions& session,
                       std::vector<Track> strays) {
  session.check();
  Session one(
      std::move(found), std::move(strays), bench, options, ends, session);
  one.fit_one_by_one();
  one.put_pieces_together();
  one.refuse_what_cannot_be();
  one.adjust_jointly();
  one.allow_for_valleys();
  one.allow_for_the_camera();
  one.hear_bounces();
  one.meet_the_sample();
  one.hear_the_contacts();
  return one.rows();
}

}  // namespace evenfeed
