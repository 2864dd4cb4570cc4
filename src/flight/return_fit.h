// SPDX-License-Identifier: MIT
// The flight a sample sends back. It is one more flight with one bounce, only
// the other way, and begins where the feed met the sample: that ties its depth
// to the feed's, without asking where exactly the sample's plane is.
//
// The meeting is at a time t_c that neither sees. At a time t_0 near it the two
// flights are apart by (v_feed - v_return)(t_c - t_0), so the return is held to
// the feed's place at t_0 with the feed's own covariance and, along that
// direction, the sd of t_c.
#pragma once

#include "flight/feed.h"
#include "flight/feed_finder.h"
#include "flight/trajectory_fit.h"

#include <array>
#include <optional>
#include <vector>

namespace evenfeed {

struct ReturnFit {
  std::vector<Sighting> sightings;  ///< of the tracks that make the return
  FlightFit fit;
  double t_contact_s = 0;  ///< where the two flights come nearest
  bool ambiguous = false;  ///< another flight explains it about as well
  std::optional<KnownPassage> passage;  ///< the meeting it was fitted about
};

/// Options of the feeds as returns are fitted with: a sample's spin is not the
/// launcher's. Lift, kick and turn are believed as in `profile`, and the mouth
/// is not used.
[[nodiscard]] FlightOptions options_of_returns(const FlightOptions& options,
                                               const FlightOptions& profile);

/// Fits what came back from each feed that is whole(), in their order: the
/// track that begins where the feed ended and has most sightings on its flight,
/// and those tracks that carry it on. `options` are options_of_returns().
/// Covariances are scaled by what all returns scatter; the errors of so many
/// sightings in a row are one. A speed known worse than to a fifth, or an angle
/// than to 10 degrees, is refused, and so is a return of which a sixth lies off
/// its flight or that two flights explain.
std::vector<ReturnFit> fit_returns(const std::vector<FoundFeed>& found,
                                   const CameraModel& camera,
                                   const FlightOptions& options,
                                   double sightings_per_error);

/// The values of a return p to the feed, in file units: NaN what it does not do
/// (rise, pass the net's plane before it lands).
[[nodiscard]] std::array<double, kReturnValueCount> values_of_return(
    const FlightVector& p,
    const FlightOptions& options,
    const FlightVector& feed,
    double near_contact_s,
    double net_x_m);

/// It lands where its bounce was seen, or where it would when it was last seen
/// leaving the picture; a return lost in between may have met the net.
[[nodiscard]] bool landing_known(const ReturnFit& fitted,
                                 const CameraModel& camera);

/// The values of a fitted return and their uncertainties. What it does not do
/// (rise, pass the net's plane before it lands) is not known, nor a landing
/// that is not.
std::array<Measured, kReturnValueCount> derive_return(
    const ReturnFit& fitted,
    const FlightFit& feed,
    const CameraModel& camera,
    const FlightOptions& options,
    double net_x_m);

/// Gives each track that goes back to the feed it may answer: the last one that
/// ended before it, no more than `within_s` ago.
void give_returns(std::vector<FoundFeed>& found,
                  std::vector<Track> returns,
                  double within_s);

}  // namespace evenfeed
