// SPDX-License-Identifier: MIT
#include "flight/one_feed.h"

#include "flight/session_fit.h"
#include "flight/shutter_times.h"

#include <string>
#include <utility>
#include <vector>

namespace evenfeed {
namespace {

Feed broken_feed(const FoundFeed& found) {
  Feed feed;
  feed.t_launch_s = found.sightings.front().t_s;
  feed.sightings = static_cast<int>(found.sightings.size());
  feed.note = found.fit.message;
  return feed;
}

}  // namespace

Feed derived_or_refused(const FoundFeed& found,
                        const FlightOptions& options,
                        const FeedEnds& ends,
                        double frame_s,
                        const MeasurableLimits& limits) {
  if (!found.fit.ok()) return broken_feed(found);
  Feed feed = derive_feed(found.fit, options, ends);
  std::string why = why_unknown(feed, options.table, frame_s, limits);
  if (why.empty()) why = why_no_bounce(feed, options.friction);
  if (!why.empty()) {
    feed = broken_feed(found);
    feed.note = std::move(why);
  } else if (feed.status == FeedStatus::kExtrapolated) {
    feed.note = found.fit.after == 0 ? "no sighting after the bounce"
                                     : "the bounce itself was not seen";
  }
  return feed;
}

ToldSoFar told_so_far(const SessionFit& fit) {
  return {fit.camera, fit.options, fit.sigma_scale, fit.ends};
}

Feed measure_alone(FoundFeed found,
                   const CameraModel& seen_by,
                   const ToldSoFar& so_far,
                   const MeasurableLimits& limits) {
  std::vector<FoundFeed> one{std::move(found)};
  std::vector<Track> none;
  CameraModel camera = seen_by;
  restamp(one, none, camera, so_far.camera.exposure_s, so_far.camera.readout_s);
  FoundFeed& feed = one.front();
  feed.for_each_sighting(
      [&](Sighting& s) { s.sigma_px *= so_far.sigma_scale; });
  if (feed.fit.ok()) {
    FlightFit again = refine_flight(
        feed.sightings, so_far.camera, so_far.options, feed.fit.parameters);
    if (again.ok()) feed.fit = std::move(again);
    refuse_doubtful(one, so_far.camera, limits);
  }
  return derived_or_refused(
      feed, so_far.options, so_far.ends, usual_frame_s(one), limits);
}

}  // namespace evenfeed
