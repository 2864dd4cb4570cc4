// SPDX-License-Identifier: MIT
// What the feeds of one film have in common: how well a sighting is really
// placed, how long the shutter was open, where a feed counts as launched. One
// feed cannot tell; all of them together can.
#pragma once

#include "flight/common_causes.h"
#include "flight/derive_feed.h"
#include "flight/feed_finder.h"
#include "flight/flown_feed.h"
#include "flight/heard_contacts.h"
#include "flight/heard_session.h"
#include "flight/joint_adjustment.h"
#include "flight/measurable.h"
#include "flight/sample_plane.h"
#include "flight/spliced_flight.h"
#include "geometry/bench.h"
#include "geometry/camera_sway.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct SessionFitOptions {
  bool estimate_exposure = true;  ///< from the streaks, when it is not known
  bool adjust_jointly = true;     ///< what the feeds share, from all of them
  JointOptions joint;
  MeasurableLimits measurable;
  SpliceLimits splice;
  std::vector<double> joins_s;  ///< where the film shows that it was cut
  CameraSway sway;  ///< what the camera moved beside what was allowed for
  std::optional<Ear> ear;  ///< the film's sound; without it sight is all
  void check() const;
};

/// Something all feeds share, as it was believed and as they showed it.
struct SharedQuantity {
  std::string name;
  std::string unit;
  Prior before, after;
};

struct SessionFit {
  std::vector<Feed> feeds;       ///< numbered, in order of time
  std::vector<FlownFeed> flown;  ///< each feed's way, in the order of `feeds`
  CameraModel camera;            ///< with the exposure found, adjusted
  FlightOptions options;         ///< with what the feeds told of their flight
  /// Real scatter of the sightings over what they stated, rms.
  double sigma_scale = 1;
  int not_feeds = 0;  ///< pieces and flights that did not come from the mouth
  int lost_launches = 0;  ///< strays that were launches after all
  /// launch_x_m NaN when the mouth is not in view; sample_x_m NaN when the
  /// sample's place was neither told nor shown by returns.
  FeedEnds ends;
  SampleSeen sample_seen;
  /// Where the sample was told to stand, if returns contradict it.
  std::optional<double> sample_told_elsewhere_m;
  /// What the session leaves uncertain in every feed alike (camera, air, spin,
  /// bounce).
  CommonErrors common;
  /// What the feeds together told of what they share, in file units.
  std::vector<SharedQuantity> shared;
  /// How fast the film plays beside how fast it was taken, by its feeds.
  FilmClock clock;
  std::optional<HeardSession> heard;            ///< with an ear
  std::optional<HeardContacts> heard_contacts;  ///< when bounces were heard
  std::vector<std::string> warnings;
};

/// Refits the feeds found with what they have in common and derives their
/// characteristics. `found` in any order; its sightings' times are taken as
/// mid-exposure for camera.exposure_s. Launches among `strays` become rows too.
[[nodiscard]] SessionFit fit_session(std::vector<FoundFeed> found,
                                     const Bench& bench,
                                     const FlightOptions& options,
                                     const FeedEnds& ends,
                                     const SessionFitOptions& session = {},
                                     std::vector<Track> strays = {});

}  // namespace evenfeed
