// SPDX-License-Identifier: MIT
#include "pipeline/time_scale.h"

#include "base/units.h"
#include "pipeline/feed_measurer.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Three sd in one quantity.
constexpr double kDoubt = 9;
constexpr int kFewestMeasured = 2;
// Of the sightings that lie on flights at the best factor; with fewer a factor
// is no candidate, however well its few flights may look.
constexpr double kMostExplained = 0.7;
// Sightings beside their flights by more than so many times what they state do
// not fall as they seem to.
constexpr double kMostScatter = 3;
// Factors are tried in octaves, and then between them down to 2^(1/4): within
// an octave chi^2 rises by several times kDoubt.
constexpr double kOctaves[] = {-2, -1, 0, 1, 2, 3, 4};
constexpr double kFinest_octaves = 0.25;

int measured_in(const SessionFit& fit) {
  return static_cast<int>(
      std::count_if(fit.feeds.begin(), fit.feeds.end(), [](const Feed& feed) {
        return feed.status == FeedStatus::kMeasured;
      }));
}

// Pieces of slowed flights bounce anywhere, launchers are aimed beyond the net.
bool mostly_short_of_net(const SessionFit& fit) {
  const double net_mm = mm_from_m(fit.ends.net_x_m);
  const auto short_of_net =
      std::count_if(fit.feeds.begin(), fit.feeds.end(), [&](const Feed& feed) {
        return feed.status == FeedStatus::kMeasured &&
               feed[Characteristic::kX].value < net_mm;
      });
  return 2 * short_of_net > measured_in(fit);
}

// Infinite when the feeds did not tell what they share.
double chi_square(const SessionFit& fit) {
  double sum = 0;
  int count = 0;
  for (const SharedQuantity& one : fit.shared) {
    // Drag, lift and restitution: all that is shared and has no unit.
    if (!one.unit.empty() || !(one.before.sd > 0)) continue;
    const double off = (one.after.mean - one.before.mean) / one.before.sd;
    sum += off * off;
    ++count;
  }
  return count > 0 ? sum : std::numeric_limits<double>::infinity();
}

int explained_in(const SessionFit& fit) {
  int sum = 0;
  for (const Feed& feed : fit.feeds) {
    if (feed.status == FeedStatus::kMeasured) sum += feed.sightings;
  }
  return sum;
}

struct Trial {
  double octaves = 0;
  int measured = 0;
  int explained = 0;  // sightings
  double chi2 = std::numeric_limits<double>::infinity();
};

bool explains(const Trial& trial) {
  return trial.measured >= kFewestMeasured && trial.chi2 < kDoubt;
}

class Trials {
 public:
  Trials(const std::vector<TimedFrame>& frames,
         const Bench& bench,
         const Profile& profile,
         const MeasureOptions& options)
      : frames_(frames), bench_(bench), profile_(profile), options_(options) {}

  const Trial& at(double octaves) {
    for (const Trial& one : done_) {
      if (std::abs(one.octaves - octaves) < 1e-9) return one;
    }
    const SessionFit fit =
        fit_slower(frames_, std::exp2(octaves), bench_, profile_, options_);
    done_.push_back(
        {octaves, measured_in(fit), explained_in(fit), chi_square(fit)});
    return done_.back();
  }

  Trial best() const {
    int most = 0;
    for (const Trial& one : done_) most = std::max(most, one.explained);
    Trial best;
    for (const Trial& one : done_) {
      if (one.explained >= kMostExplained * most && one.chi2 < best.chi2) {
        best = one;
      }
    }
    return best;
  }

 private:
  const std::vector<TimedFrame>& frames_;
  const Bench& bench_;
  const Profile& profile_;
  const MeasureOptions& options_;
  std::vector<Trial> done_;
};

// What a camera is likely to have done, if it lies within two sd.
double likely_factor(double slower, double log_sd) {
  constexpr double kUsual[] = {0.25, 0.5, 1, 2, 4, 5, 8, 10, 16, 20, 32};
  const double* nearest = std::min_element(
      std::begin(kUsual), std::end(kUsual), [&](double a, double b) {
        return std::abs(std::log(slower / a)) < std::abs(std::log(slower / b));
      });
  const bool near = std::abs(std::log(slower / *nearest)) < 2 * log_sd;
  return near ? *nearest : slower;
}

}  // namespace

SessionFit fit_slower(const std::vector<TimedFrame>& frames,
                      double slower,
                      const Bench& bench,
                      const Profile& profile,
                      const MeasureOptions& options) {
  MeasureOptions own = options;
  own.keep_sightings = false;
  FeedMeasurer measurer(bench, profile, own);
  for (const TimedFrame& frame : frames) {
    std::vector<Sighting> sightings = frame.sightings;
    for (Sighting& one : sightings) one.t_s /= slower;
    measurer.add_frame(frame.t_s / slower, sightings);
  }
  return measurer.finish().fit;
}

bool doubts_time_scale(const SessionFit& fit) {
  const double chi2 = chi_square(fit);
  if (std::isfinite(chi2) && chi2 > kDoubt) return true;
  if (fit.sigma_scale > kMostScatter || mostly_short_of_net(fit)) return true;
  return 2 * measured_in(fit) < static_cast<int>(fit.feeds.size()) ||
         fit.feeds.empty();
}

std::optional<TimeScale> find_time_scale(const std::vector<TimedFrame>& frames,
                                         const Bench& bench,
                                         const Profile& profile,
                                         const MeasureOptions& options) {
  Trials trials(frames, bench, profile, options);
  for (const double octaves : kOctaves) trials.at(octaves);
  for (double step = 0.5; step >= kFinest_octaves; step /= 2) {
    const double middle = trials.best().octaves;
    trials.at(middle - step);
    trials.at(middle + step);
  }
  const Trial best = trials.best();
  if (!explains(best)) return std::nullopt;
  const Trial own = trials.at(0);
  const bool own_will_do = own.chi2 < best.chi2 + kDoubt &&
                           own.explained >= kMostExplained * best.explained;
  if (own_will_do) return std::nullopt;
  // A parabola through the best and its neighbours.
  const double h = kFinest_octaves;
  const double before = trials.at(best.octaves - h).chi2;
  const double after = trials.at(best.octaves + h).chi2;
  const double curvature = (before - 2 * best.chi2 + after) / (h * h);
  TimeScale scale;
  double octaves = best.octaves;
  double sd_octaves = h;
  if (std::isfinite(curvature) && curvature > 0) {
    octaves += std::clamp((before - after) / (2 * h * curvature), -h, h);
    sd_octaves = std::sqrt(2 / curvature);
  }
  scale.slower = std::exp2(octaves);
  scale.log_sd = sd_octaves * std::log(2.0);
  return scale;
}

double slow_to_say(const TimeScale& scale) {
  return likely_factor(scale.slower * scale.said, scale.log_sd);
}

std::string time_scale_words(const TimeScale& scale) {
  const bool slow = scale.slower > 1;
  return fmt::format(
      "this film seems to play {:.1f} times {} than it was taken (gravity "
      "tells that to {:.0f} %): all times and speeds are wrong by as much. If "
      "it does, say --slow {:.3g}",
      slow ? scale.slower : 1 / scale.slower,
      slow ? "slower" : "faster",
      100 * scale.log_sd,
      slow_to_say(scale));
}

}  // namespace evenfeed
