// SPDX-License-Identifier: MIT
#include "flight/measurable.h"

#include "base/check.h"
#include "base/units.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr std::size_t kFewestUsual = 5;  // to say what is usual

struct Usual {
  double residual_px = 0;
  double sightings = 0;
};

std::optional<Usual> usual_of(const std::vector<FoundFeed>& found) {
  std::vector<double> residuals, counts;
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    residuals.push_back(feed.fit.rms_px);
    counts.push_back(feed.fit.inliers());
  }
  if (residuals.size() < kFewestUsual) return std::nullopt;
  return Usual{median(residuals), median(counts)};
}

// The fewer sightings beside the unknowns, the smaller the residuals that any
// points would leave.
double residual_share(const FlightFit& fit) {
  constexpr double kEnough = 12;
  return std::clamp(fit.degrees_of_freedom / kEnough, 0., 1.);
}

std::string why_doubtful(const FoundFeed& feed,
                         const std::optional<Usual>& usual,
                         const MeasurableLimits& limits) {
  const FlightFit& fit = feed.fit;
  if (fit.parameters[kVelocityIn] < 0) {
    return "it flies towards the launcher";
  }
  const double fewest =
      std::max<double>(limits.fewest_sightings,
                       usual ? limits.fewest_of_usual * usual->sightings : 0);
  if (fit.inliers() < fewest) {
    return fmt::format("{} sightings on one flight where {:.0f} are needed",
                       fit.inliers(),
                       std::ceil(fewest));
  }
  if (fit.rms_px > limits.most_residual_px * residual_share(fit)) {
    return fmt::format(
        "the sightings lie {:.1f} px beside a flight, a ball's no more than "
        "{:.1f}",
        fit.rms_px,
        limits.most_residual_px * residual_share(fit));
  }
  if (usual && fit.rms_px > limits.harmless_residual_px &&
      fit.rms_px > limits.most_of_usual * usual->residual_px) {
    return fmt::format(
        "the sightings lie {:.1f} px beside a flight, the other feeds' {:.2f}",
        fit.rms_px,
        usual->residual_px);
  }
  if (used_share(feed.fit, feed.sightings) < limits.least_used_share) {
    return fmt::format("only {:.0f} % of the sightings lie on one flight",
                       100 * used_share(feed.fit, feed.sightings));
  }
  const double of_all =
      fit.inliers() / static_cast<double>(feed.sightings.size());
  if (of_all < limits.least_of_all) {
    return fmt::format("only {:.0f} % of all sightings lie on one flight",
                       100 * of_all);
  }
  return {};
}

}  // namespace

void MeasurableLimits::check() const {
  require_in_range(fewest_sightings, 4, 100, "fewest_sightings");
  require_in_range(fewest_of_usual, 0, 1, "fewest_of_usual");
  require_positive(most_residual_px, "most_residual_px");
  require_positive(most_of_usual, "most_of_usual");
  require_not_negative(harmless_residual_px, "harmless_residual_px");
  require_in_range(least_used_share, 0, 1, "least_used_share");
  require_in_range(least_of_all, 0, 1, "least_of_all");
  require_positive(longest_time_s, "longest_time_s");
}

double picture_scale(const CameraModel& camera) {
  constexpr double kUsual_px = 1280;
  return std::max(1., std::max(camera.width_px, camera.height_px) / kUsual_px);
}

void refuse_doubtful(std::vector<FoundFeed>& found,
                     const CameraModel& camera,
                     const MeasurableLimits& given) {
  given.check();
  MeasurableLimits limits = given;
  limits.most_residual_px *= picture_scale(camera);
  limits.harmless_residual_px *= picture_scale(camera);
  const std::optional<Usual> usual = usual_of(found);
  for (FoundFeed& feed : found) {
    if (!feed.fit.ok()) continue;
    std::string why = why_doubtful(feed, usual, limits);
    if (why.empty()) continue;
    feed.fit.status = FitStatus::kPoorFit;
    feed.fit.message = std::move(why);
  }
}

std::string why_unknown(const Feed& feed,
                        const TableTop& table,
                        double frame_s,
                        const MeasurableLimits& limits) {
  const double worst_mm = mm_from_m(table.half_length_m) / 2;
  const double sx_mm = feed[Characteristic::kX].sigma;
  const double sy_mm = feed[Characteristic::kY].sigma;
  if (!(std::hypot(sx_mm, sy_mm) < worst_mm)) {
    return fmt::format("the landing is known no better than {:.0f} mm",
                       std::hypot(sx_mm, sy_mm));
  }
  const double longest_s = std::max(frame_s, limits.longest_time_s);
  if (feed.status == FeedStatus::kMeasured && feed.st_bounce_s > longest_s) {
    return fmt::format(
        "the time of the bounce is known no better than {:.0f} ms",
        ms_from_s(feed.st_bounce_s));
  }
  return {};
}

std::string why_no_bounce(const Feed& feed, double friction) {
  constexpr double kMostTimes = 2;  // approved tables: 0.15 to 0.35
  constexpr double kSigmas = 4;
  if (feed.status != FeedStatus::kMeasured) return {};
  const auto change = [&](Characteristic in, Characteristic out) {
    return Measured{feed[out].value - feed[in].value,
                    std::hypot(feed[out].sigma, feed[in].sigma)};
  };
  const Measured x = change(Characteristic::kVxIn, Characteristic::kVxOut);
  const Measured y = change(Characteristic::kVyIn, Characteristic::kVyOut);
  const Measured z = change(Characteristic::kVzIn, Characteristic::kVzOut);
  const double along = std::hypot(x.value, y.value);
  const double sigma =
      std::hypot(x.sigma, y.sigma, kMostTimes * friction * z.sigma);
  if (!(along - kSigmas * sigma > kMostTimes * friction * z.value)) return {};
  return fmt::format(
      "the two arcs are not one ball's: no bounce turns a ball by {:.1f} m/s "
      "along the surface and {:.1f} m/s away from it",
      along,
      z.value);
}

double usual_frame_s(const std::vector<FoundFeed>& found) {
  std::vector<double> steps;
  for (const FoundFeed& feed : found) {
    for (std::size_t i = 1; i < feed.sightings.size(); ++i) {
      steps.push_back(feed.sightings[i].t_s - feed.sightings[i - 1].t_s);
    }
  }
  return steps.empty() ? 0 : median(steps);
}

}  // namespace evenfeed
