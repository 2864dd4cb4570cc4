// SPDX-License-Identifier: MIT
#include "flight/heard_contacts.h"

#include "flight/heard_time.h"
#include "flight/propagate.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// What a plane that was told as the truth may still be off by: a contact is no
// moment, and its click rises.
constexpr double kLeastLate_s = 3e-4;

struct Expected {
  std::size_t feed = 0;
  SeenTime seen;
  double closing_mps = 0;
  double distance_m = 0;
};

std::vector<Expected> expected_contacts(const std::vector<FoundFeed>& found,
                                        const FlightOptions& options,
                                        const FeedEnds& ends,
                                        const Eigen::Vector3d& microphone_m) {
  std::vector<Expected> all;
  for (std::size_t i = 0; i < found.size(); ++i) {
    if (!found[i].whole()) continue;
    const FlightFit& fit = found[i].fit;
    const auto contact = contact_of(fit.parameters, options, ends);
    if (!contact) continue;
    const FlightCovariance root = fit.covariance.llt().matrixL();
    const auto slopes =
        propagated_root(fit.parameters, root, [&](const FlightVector& near) {
          const auto there = contact_of(near, options, ends);
          constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
          return std::array{there ? there->t_s : kNaN};
        });
    if (!slopes.allFinite()) continue;
    const FlightVector column = root * slopes.row(0).transpose();
    const double lean_s = lean_doubt_m(ends, contact->centre_m.z()) *
                          std::cos(ends.sample_lean_rad) / contact->closing_mps;
    all.push_back(
        {i,
         {contact->t_s, slopes.squaredNorm() + lean_s * lean_s, column},
         contact->closing_mps,
         (contact->centre_m - microphone_m).norm()});
  }
  return all;
}

double median_closing_mps(const std::vector<Expected>& all) {
  std::vector<double> closing_mps;
  for (const Expected& one : all) closing_mps.push_back(one.closing_mps);
  return median(closing_mps);
}

// About a shift that all contacts share, not about sound and picture at large.
HearingOptions about_the_shift(HearingOptions options, double late_sd_s) {
  constexpr double kWidest = 4;
  constexpr double kLeastLooked_s = 0.01;
  options.offset_sd_s = late_sd_s;
  options.most_offset_s =
      std::clamp(kWidest * late_sd_s, kLeastLooked_s, options.most_offset_s);
  options.drift_sd = 1e-9;  // the bounces told it
  options.most_drift = 0;
  return options;
}

FeedEnds moved(FeedEnds ends, double by_s, double sd_s, double closing_mps) {
  const double along = closing_mps / std::cos(ends.sample_lean_rad);
  ends.sample_x_m += by_s * along;
  ends.sample_sd_m = sd_s * along;
  return ends;
}

}  // namespace

HeardContacts hear_contacts(const std::vector<Tick>& ticks,
                            const Eigen::Vector3d& microphone_m,
                            const HearingOptions& hearing,
                            const SoundClock& clock,
                            const CameraModel& camera,
                            const FlightOptions& options,
                            const FeedEnds& ends,
                            std::vector<FoundFeed>& found) {
  HeardContacts result;
  result.ends = ends;
  result.by_ear.assign(found.size(), 0);
  result.why.resize(found.size());
  const auto expected = expected_contacts(found, options, ends, microphone_m);
  result.expected = static_cast<int>(expected.size());
  if (expected.empty()) {
    result.why_not = "no feed is known to have met the sample";
    return result;
  }
  std::vector<Tick> by_picture = ticks;
  for (Tick& tick : by_picture) tick.t_s = clock.picture_s(tick.t_s, 0);
  std::vector<ExpectedTick> to_hear;
  for (const Expected& one : expected) {
    to_hear.push_back(
        {one.seen.t_s, std::sqrt(one.seen.variance_s2), one.distance_m});
  }
  const double closing_mps = median_closing_mps(expected);
  const double clock_s = clock.sigma_s(clock.middle_s);
  const double late_sd_s =
      std::hypot(ends.sample_sd_m / closing_mps, clock_s, kLeastLate_s);
  const Hearing heard =
      hear(to_hear, by_picture, about_the_shift(hearing, late_sd_s));
  result.agrees = heard.agrees;
  result.why_not = heard.why_not;
  if (!heard.agrees) return result;
  result.late_s = heard.clock.offset_s;
  for (std::size_t k = 0; k < expected.size(); ++k) {
    if (!heard.ticks[k].heard) continue;
    FoundFeed& feed = found[expected[k].feed];
    HeardFlight flight = with_heard_time(feed.fit,
                                         feed.sightings,
                                         camera,
                                         options,
                                         "the contact",
                                         expected[k].seen,
                                         heard.ticks[k].t_s,
                                         heard.ticks[k].sigma_s);
    if (!flight.used) {
      result.why[expected[k].feed] = flight.why_not;
      continue;
    }
    feed.fit = std::move(flight.fit);
    result.by_ear[expected[k].feed] = 1;
    ++result.heard;
  }
  const bool told_as_truth = ends.sample_sd_m == 0;
  if (!told_as_truth) {
    const double sd_s =
        std::hypot(std::sqrt(heard.clock.covariance(0, 0)), clock_s);
    result.ends = moved(ends, result.late_s, sd_s, closing_mps);
  }
  return result;
}

}  // namespace evenfeed
