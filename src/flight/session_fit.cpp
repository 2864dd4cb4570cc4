// SPDX-License-Identifier: MIT
#include "flight/session_fit.h"

#include "flight/launch_mouth.h"
#include "flight/second_look.h"
#include "flight/session_warnings.h"
#include "flight/shutter_times.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Eigenvalues>

namespace evenfeed {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

void refit_all(std::vector<FoundFeed>& found,
               const CameraModel& camera,
               const FlightOptions& options) {
  for (FoundFeed& feed : found) {
    if (!feed.fit.ok()) continue;
    FlightFit again =
        refine_flight(feed.sightings, camera, options, feed.fit.parameters);
    if (again.ok()) feed.fit = std::move(again);
  }
}

// Pooled over the session: a single feed's residuals say little about sigma.
double pooled_scale(const std::vector<FoundFeed>& found) {
  double chi2 = 0;
  double freedom = 0;
  for (const FoundFeed& feed : found) {
    if (!feed.fit.ok() || feed.fit.degrees_of_freedom < 1) continue;
    chi2 += feed.fit.chi2;
    freedom += feed.fit.degrees_of_freedom;
  }
  constexpr double kEnough = 20;
  return freedom < kEnough ? 1.0 : std::sqrt(chi2 / freedom);
}

void scale_sigmas(std::vector<FoundFeed>& found, double scale) {
  for (FoundFeed& feed : found) {
    for (Sighting& s : feed.sightings) s.sigma_px *= scale;
  }
}

void find_exposure(std::vector<FoundFeed>& found,
                   CameraModel& camera,
                   const FlightOptions& options,
                   const SessionFitOptions& session) {
  if (session.estimate_exposure && camera.exposure_s == 0) {
    const double exposure =
        exposure_from_streaks(found, camera, options, session.least_exposure_s);
    restamp(found, camera, exposure);
  }
  refit_all(found, camera, options);
}

// The plane a feed counts as launched on: the nearest place to the launcher
// where every feed has been seen. Not known when the first sightings lie at
// the picture's edge: then the launcher is out of view.
double launch_line_m(const std::vector<FoundFeed>& found,
                     const CameraModel& camera,
                     const FlightOptions& options) {
  constexpr double kEdge_px = 25;
  std::vector<double> first_x;
  int at_edge = 0;
  for (const FoundFeed& feed : found) {
    if (!feed.fit.ok() || feed.fit.before < 2) continue;
    const auto begin = std::find(feed.fit.used.begin(), feed.fit.used.end(), 1);
    const Sighting& s =
        feed.sightings[static_cast<std::size_t>(begin - feed.fit.used.begin())];
    at_edge += !camera.in_picture(s.centre_px, kEdge_px);
    first_x.push_back(
        flight_state(feed.fit.parameters, options, Arc::kIn, s.t_s).x_m.x());
  }
  if (first_x.empty() || 2 * at_edge > static_cast<int>(first_x.size())) {
    return kNaN;
  }
  std::sort(first_x.begin(), first_x.end());
  return first_x[first_x.size() / 20];  // one stray sighting may lie behind
}

// Each eigenvector of the camera's covariance moves a few feeds; the rms over
// the vectors, averaged over the feeds, is what calibration adds to all.
std::array<double, kCharacteristicCount> calibration_sigma(
    const std::vector<FoundFeed>& found,
    const Bench& bench,
    const CameraModel& camera,
    const FlightOptions& options,
    const FeedEnds& ends) {
  std::array<double, kCharacteristicCount> sigma;
  sigma.fill(kNaN);
  std::vector<const FoundFeed*> seen;
  for (const FoundFeed& feed : found) {
    if (feed.fit.ok() && feed.fit.bounce_seen()) seen.push_back(&feed);
  }
  if (seen.empty() || bench.covariance.isZero()) return sigma;
  const Eigen::SelfAdjointEigenSolver<CameraCovariance> solver(
      bench.covariance);
  const std::size_t stride = std::max<std::size_t>(1, seen.size() / 3);
  std::array<double, kCharacteristicCount> variance{};
  int feeds = 0;
  for (std::size_t f = stride / 2; f < seen.size(); f += stride) {
    const FoundFeed& feed = *seen[f];
    const Feed still = derive_feed(feed.fit, options, ends);
    ++feeds;
    for (int k = 0; k < kCameraParameters; ++k) {
      const double sd = std::sqrt(std::max(0.0, solver.eigenvalues()[k]));
      const CameraModel moved =
          moved_camera(camera, sd * solver.eigenvectors().col(k));
      const FlightFit fit =
          refine_flight(feed.sightings, moved, options, feed.fit.parameters);
      if (!fit.ok()) continue;
      const Feed shifted = derive_feed(fit, options, ends);
      for (std::size_t i = 0; i < variance.size(); ++i) {
        const double change = shifted.values[i].value - still.values[i].value;
        if (std::isfinite(change)) variance[i] += change * change;
      }
    }
  }
  for (std::size_t i = 0; i < sigma.size(); ++i) {
    if (variance[i] > 0) sigma[i] = std::sqrt(variance[i] / feeds);
  }
  return sigma;
}

Feed broken_feed(const FoundFeed& found) {
  Feed feed;
  feed.t_launch_s = found.sightings.front().t_s;
  feed.sightings = static_cast<int>(found.sightings.size());
  feed.note = found.fit.message;
  return feed;
}

std::vector<Feed> derive_all(const std::vector<FoundFeed>& found,
                             const FlightOptions& options,
                             const FeedEnds& ends) {
  std::vector<Feed> feeds;
  for (const FoundFeed& one : found) {
    if (!one.fit.ok()) {
      feeds.push_back(broken_feed(one));
      continue;
    }
    Feed feed = derive_feed(one.fit, options, ends);
    if (feed.status == FeedStatus::kExtrapolated) {
      feed.note = one.fit.after == 0 ? "no sighting after the bounce"
                                     : "the bounce itself was not seen";
    }
    feeds.push_back(std::move(feed));
  }
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    feeds[i].number = static_cast<int>(i) + 1;
  }
  return feeds;
}

}  // namespace

SessionFit fit_session(std::vector<FoundFeed> found,
                       const Bench& bench,
                       const FlightOptions& options,
                       const FeedEnds& ends,
                       const SessionFitOptions& session) {
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) {
    return a.sightings.front().t_s < b.sightings.front().t_s;
  });
  SessionFit result;
  result.camera = bench.camera;
  result.ends = ends;
  find_exposure(found, result.camera, options, session);
  result.sigma_scale = pooled_scale(found);
  scale_sigmas(found, result.sigma_scale);
  look_again(found, result.camera, options);
  result.from_elsewhere = drop_flights_from_elsewhere(found, options);
  refit_all(found, result.camera, options);
  if (std::isnan(result.ends.launch_x_m)) {
    result.ends.launch_x_m = launch_line_m(found, result.camera, options);
  }
  result.feeds = derive_all(found, options, result.ends);
  result.calibration_sigma =
      calibration_sigma(found, bench, result.camera, options, result.ends);
  result.warnings = session_warnings(result);
  return result;
}

}  // namespace evenfeed
