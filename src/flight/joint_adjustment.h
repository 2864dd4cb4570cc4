// SPDX-License-Identifier: MIT
// One adjustment over all feeds of a session. A single feed cannot tell lift
// from a camera that stands a little higher, or a soft ball from a late
// bounce; forty feeds with the same balls, wheel, table and camera can. So the
// flights (14 unknowns each) are solved together with what they share:
//
//   min sum_i [ |picture residuals_i(p_i, c)|^2 + sum_k ((q_ki - m_k)/w_k)^2 ]
//       + sum_k ((m_k - M_k)/S_k)^2 + c^T C^-1 c
//
// q_k: drag, lifts, restitution and launch height of feed i; m_k their means
// over the session, with the profile's priors (M_k, S_k); c the camera's
// corrections (9, with calibration's covariance C), an unknown readout, and
// where along the table the launch height is one: feeds come from a point that
// lies behind where they are first seen, and further on they are as high as
// their elevation says. Held at a wrong place their heights would draw drag and
// restitution along, until the bundle is tightest there.
// Gravity is the metre. The spreads w_k between feeds are estimated too
// (empirical Bayes by expectation and maximisation, Dempster, Laird and Rubin
// 1977), those of drag and restitution beside ten imagined feeds that scatter
// as the profile states, since one feed shows little of its ball. The normal
// equations are bordered block diagonal and solved by their Schur complement
// (Triggs et al. 2000, "Bundle adjustment: a modern synthesis", section 6).
#pragma once

#include "flight/feed_finder.h"
#include "flight/film_clock.h"
#include "flight/learned_spreads.h"
#include "flight/session_terms.h"
#include "geometry/bench.h"

#include <array>
#include <vector>

namespace evenfeed {

struct JointOptions {
  int fewest_feeds = 5;  ///< fewer do not show their spreads
  LeastSpreads least_spreads;
  /// A rolling shutter's readout that is not known: 5 to 25 ms are usual of
  /// telephones (common practice, no source).
  Prior readout_s{0.012, 0.008};  ///< sd 0: not looked for
  /// What the sightings of all feeds may be off by alike, per axis, at one
  /// stage of the flight (common_errors.h): so much at least, beside a share of
  /// their own sd. What makes a ball hard to see, shade, noise, compression,
  /// makes it look elsewhere too: 0.25 rms, 0.02 to 0.9, on films of 100 random
  /// benches (tests/bench/worlds), whose finds scatter by 0.02 to 0.9.
  double common_error_px = 0.1;
  double common_error_share = 0.8;
  /// How far the film may play slower or faster than it was taken, sd of the
  /// logarithm; 0: its clock is the camera's.
  double clock_sd = 0;
  int rounds = 25;
  void check() const;
};

using CommonRoot = Eigen::Matrix<double, kFlightParameters, Eigen::Dynamic>;

struct JointAdjustment {
  bool done = false;
  SessionVector before = SessionVector::Zero();  ///< priors' means
  SessionVector before_sd = SessionVector::Zero();
  SessionVector after = SessionVector::Zero();
  SessionCovariance covariance = SessionCovariance::Zero();  ///< of `after`
  std::array<double, kSharedPriors> spread{};                ///< between feeds
  /// Real scatter of the sightings over what they state, rms, with the
  /// degrees of freedom that are left beside all unknowns.
  double scatter = 1;
  /// How many neighbouring sightings count for one: 1 + 2 (r_1 + r_2 + ...),
  /// the autocorrelations of the residuals as long as they are positive.
  /// Films are compressed from frame to frame, and so are their errors.
  double sightings_per_error = 1;

  /// A feed's share in what the session leaves uncertain, per feed used: what
  /// one sd of each cause that all feeds have in common moves its parameters
  /// by. The first kSessionParameters columns are errors of the priors (those
  /// of the camera along the columns of symmetric_root(bench.covariance)), the
  /// next kSessionParameters the noise of the sightings, then what sightings
  /// err alike at each of `stages`, two columns each, and the film's clock
  /// where that is not known; a sound's clock may come after them
  /// (heard_session.h).
  std::vector<CommonRoot> common;
  /// The same of the session's unknowns, SI, by the causes before the sound's.
  Eigen::Matrix<double, kSessionParameters, Eigen::Dynamic> session_root;
  double common_error_px = 0;  ///< what sightings err alike, per axis
  std::vector<int> stages;
  FilmClock clock;
  std::vector<std::size_t> feeds;     ///< their places in `found`
  std::vector<FlightVector> flights;  ///< adjusted
};

/// Adjusts the feeds whose fit is ok and whose bounce was seen. Not done when
/// there is none, or when they contradict the bench beyond a solution. `found`
/// must carry sigmas of the right size.
[[nodiscard]] JointAdjustment adjust_jointly(
    const std::vector<FoundFeed>& found,
    const Bench& bench,
    const FlightOptions& flight,
    const JointOptions& options);

}  // namespace evenfeed
