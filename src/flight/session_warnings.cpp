// SPDX-License-Identifier: MIT
#include "flight/session_warnings.h"

#include "base/counted.h"
#include "base/units.h"
#include "flight/session_fit.h"
#include "stats/descriptive.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Above a third, measurement makes up more than a tenth of the variance.
constexpr double kMostGaugeRatio = 1.0 / 3;
constexpr std::size_t kFewestForSpread = 5;

void warn_of_gauge(const SessionFit& fit,
                   Characteristic id,
                   const char* advice,
                   std::vector<std::string>& warnings) {
  std::vector<double> values;
  std::vector<double> sigmas;
  for (const Feed& feed : fit.feeds) {
    if (!std::isfinite(feed[id].value)) continue;
    values.push_back(feed[id].value);
    sigmas.push_back(feed[id].sigma);
  }
  if (values.size() < kFewestForSpread) return;
  const double spread = median_absolute_deviation(values);
  const double sigma = median(sigmas);
  if (!(sigma > kMostGaugeRatio * spread)) return;
  warnings.push_back(fmt::format(
      "{} is measured to {:.1f} {} but scatters by only {:.1f} {}: more than a "
      "third of that may be the camera. {}",
      info(id).words,
      sigma,
      info(id).unit,
      spread,
      info(id).unit,
      advice));
}

// What balls, air and bounce are like cannot be far from what the profile says:
// a session that finds them there was measured with a wrong metre or clock.
void warn_of_lost_priors(const SessionFit& fit,
                         std::vector<std::string>& warnings) {
  constexpr double kBeyond_sd = 3;
  std::string which;
  for (const SharedQuantity& one : fit.shared) {
    // Of the shared, only coefficients (drag, lift, restitution) have no unit.
    if (!one.unit.empty()) continue;
    const double off = std::abs(one.after.mean - one.before.mean);
    if (!(off > kBeyond_sd * one.before.sd)) continue;
    which += fmt::format("{}{} {:.2f} (believed {:.2f} +- {:.2f})",
                         which.empty() ? "" : ", ",
                         one.name,
                         one.after.mean,
                         one.before.mean,
                         one.before.sd);
  }
  if (which.empty()) return;
  warnings.push_back(
      "the feeds show what hardly can be: " + which +
      "; what may be wrong is the film's time scale (slow motion), the bench "
      "of another camera, pixels that are not square, or a table that is not "
      "of the profile's size");
}

}  // namespace

std::vector<std::string> session_warnings(const SessionFit& fit) {
  std::vector<std::string> warnings;
  if (fit.feeds.empty()) {
    warnings.emplace_back("no feed was found in the film");
    return warnings;
  }
  warn_of_gauge(fit,
                Characteristic::kX,
                fit.heard && fit.heard->agrees
                    ? "Move the camera 15 to 30 degrees to the side of the "
                      "table, or beyond the bounce."
                    : "Keep the film's sound, which tells when the ball "
                      "bounces, or move the camera 15 to 30 degrees to the "
                      "side of the table, or beyond the bounce: straight above "
                      "it hardly sees when.",
                warnings);
  warn_of_gauge(fit,
                Characteristic::kY,
                "Bring the camera nearer or use a longer lens.",
                warnings);
  if (std::isnan(fit.ends.launch_x_m)) {
    warnings.emplace_back(
        "the launcher's mouth is not in view: flight time and path length are "
        "left empty");
  }
  if (fit.sample_told_elsewhere_m) {
    warnings.push_back(fmt::format(
        "the returns meet the feeds at a sample that stands at x = {:.0f} mm "
        "(+- {:.0f}), but it was told to stand at {:.0f} mm: measure it, or "
        "leave it out and it is taken from the returns",
        mm_from_m(fit.sample_seen.foot_m()),
        mm_from_m(fit.sample_seen.foot_sd_m()),
        mm_from_m(*fit.sample_told_elsewhere_m)));
  }
  warn_of_lost_priors(fit, warnings);
  int unmeasured = 0;
  for (const Feed& feed : fit.feeds) {
    unmeasured += feed.status == FeedStatus::kUnmeasured;
  }
  if (unmeasured > 0) {
    warnings.push_back(
        fmt::format("{} of {} could not be measured: their rows say why",
                    unmeasured,
                    counted(std::ssize(fit.feeds), "feed")));
  }
  return warnings;
}

}  // namespace evenfeed
