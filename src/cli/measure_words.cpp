// SPDX-License-Identifier: MIT
#include "cli/measure_words.h"

#include "base/counted.h"
#include "base/error.h"
#include "base/units.h"
#include "geometry/halting_words.h"
#include "quality/words.h"
#include "stats/descriptive.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Shown for every session; the files hold the rest.
constexpr Characteristic kShown[] = {Characteristic::kX,
                                     Characteristic::kY,
                                     Characteristic::kSpeedIn,
                                     Characteristic::kDescent,
                                     Characteristic::kKick};

std::string spread_line(const SessionFit& fit, Characteristic id) {
  std::vector<double> values;
  std::vector<double> sigmas;
  for (const Feed& feed : fit.feeds) {
    if (!std::isfinite(feed[id].value)) continue;
    values.push_back(feed[id].value);
    sigmas.push_back(feed[id].sigma);
  }
  if (values.size() < 2) return "";
  const CharacteristicInfo& about = info(id);
  const int decimals = shown_decimals(about.column);
  const double common = fit.common.sigma[static_cast<std::size_t>(about.id)];
  std::string line = fmt::format("  {:<24} {:>9.{}f} {:>8.{}f} {:>8.{}f} ",
                                 about.words,
                                 median(values),
                                 decimals,
                                 median_absolute_deviation(values),
                                 decimals,
                                 median(sigmas),
                                 decimals);
  line += std::isfinite(common) ? fmt::format("{:>8.{}f}", common, decimals)
                                : std::string(8, ' ');
  return line + fmt::format("  {}\n", about.unit);
}

// What the feeds together told of what they share.
std::string shared_text(const SessionFit& fit) {
  std::string text;
  for (const SharedQuantity& one : fit.shared) {
    const int decimals = one.unit.empty() ? 3 : 1;
    text +=
        fmt::format("  {:<40} {:>8.{}f} +- {:.{}f} -> {:.{}f} +- {:.{}f} {}\n",
                    one.name,
                    one.before.mean,
                    decimals,
                    one.before.sd,
                    decimals,
                    one.after.mean,
                    decimals,
                    one.after.sd,
                    decimals,
                    one.unit);
  }
  return text;
}

}  // namespace

namespace {

// Only of a film whose speed nobody vouches for.
std::string clock_line(const SessionFit& fit) {
  if (!(fit.common.clock > 0)) return {};
  std::string text = fmt::format(
      "all speeds and durations are known to {:.1f} % at best: no camera is "
      "named as what wrote the film, so a program may have changed its speed",
      100 * fit.common.clock);
  if (std::isfinite(fit.clock.told.sd)) {
    text += fmt::format(", which gravity tells to {:.0f} %",
                        100 * fit.clock.told.sd);
  }
  return text +
         ". Where it plays as it was taken, say so: --slow 1, or --rate and "
         "the frames a second it was taken at\n";
}

}  // namespace

std::string measurement_summary(const Measurement& measurement) {
  const SessionFit& fit = measurement.fit;
  int measured = 0;
  int extrapolated = 0;
  int returned = 0;
  for (const Feed& feed : fit.feeds) {
    measured += feed.status == FeedStatus::kMeasured;
    extrapolated += feed.status == FeedStatus::kExtrapolated;
    const auto speed = static_cast<std::size_t>(ReturnValue::kSpeed);
    returned += std::isfinite(feed.returned[speed].value);
  }
  const int found = static_cast<int>(fit.feeds.size());
  std::string text = fmt::format(
      "{} in {:.1f} s of film: {} measured, {} landing computed, "
      "{} without numbers\n",
      counted(found, "feed"),
      measurement.duration_s,
      measured,
      extrapolated,
      found - measured - extrapolated);
  if (returned > 0) {
    text +=
        fmt::format("what came back was measured of {} of them\n", returned);
  }
  text += sound_line(measurement);
  text += clock_line(fit);
  return text;
}

std::string measurement_text(const Measurement& measurement) {
  const SessionFit& fit = measurement.fit;
  std::string text = measurement_summary(measurement);
  text += fmt::format("{} seen flying back, {} that were no feed\n",
                      counted(measurement.counts.returns, "ball"),
                      measurement.counts.strays);
  const auto with_numbers =
      std::count_if(fit.feeds.begin(), fit.feeds.end(), [](const Feed& feed) {
        return feed.status != FeedStatus::kUnmeasured;
      });
  if (with_numbers < 2) return text;
  text += fmt::format("  {:<24} {:>9} {:>8} {:>8} {:>8}\n",
                      "",
                      "median",
                      "spread",
                      "s(feed)",
                      "s(bench)");
  for (const Characteristic id : kShown) text += spread_line(fit, id);
  if (!fit.shared.empty()) {
    text += "what all feeds share, as believed and as they showed it:\n";
    text += shared_text(fit);
  }
  return text;
}

std::optional<SoundTold> sound_told(const Measurement& measurement) {
  const std::optional<HeardSession>& heard = measurement.fit.heard;
  if (!heard && measurement.why_silent.empty()) return std::nullopt;
  SoundTold told;
  if (!heard || !heard->agrees) {
    told.bounces = heard ? heard->expected : 0;
    told.words = "timed by sight alone, the sound was not used: " +
                 (heard ? heard->why_not : measurement.why_silent);
    return told;
  }
  told.used = true;
  told.bounces = heard->expected;
  told.heard = heard->heard;
  told.late_ms = ms_from_s(heard->clock.offset_s);
  told.drift_ppm = 1e6 * heard->clock.drift;
  std::string contacts;
  if (measurement.fit.heard_contacts &&
      measurement.fit.heard_contacts->agrees) {
    told.contacts = measurement.fit.heard_contacts->expected;
    told.contacts_heard = measurement.fit.heard_contacts->heard;
    contacts = fmt::format(" and {} of {} with the sample",
                           told.contacts_heard,
                           counted(told.contacts, "contact"));
  }
  told.words = fmt::format("{} of {}{} were heard; the sound is {:.1f} ms {}",
                           told.heard,
                           counted(told.bounces, "bounce"),
                           contacts,
                           std::abs(told.late_ms),
                           told.late_ms < 0 ? "early" : "late");
  if (told.heard == 0) return told;
  told.st_seen_ms = ms_from_s(heard->seen.t_s);
  told.st_ms = ms_from_s(heard->both.t_s);
  told.sx_seen_mm = mm_from_m(heard->seen.x_m);
  told.sx_mm = mm_from_m(heard->both.x_m);
  told.words += fmt::format(
      ", and places them to {:.2f} ms and {:.1f} mm along the table, sight "
      "alone to {:.2f} ms and {:.1f} mm",
      told.st_ms,
      told.sx_mm,
      told.st_seen_ms,
      told.sx_seen_mm);
  return told;
}

std::string sound_line(const Measurement& measurement) {
  const std::optional<SoundTold> told = sound_told(measurement);
  return told ? told->words + "\n" : std::string();
}

std::vector<std::string> measurement_warnings(const Measurement& measurement) {
  std::vector<std::string> all = measurement.notes;
  const std::vector<std::string>& fit = measurement.fit.warnings;
  all.insert(all.end(), fit.begin(), fit.end());
  return all;
}

ProgressCallback measuring_progress(ProgressLine& line) {
  return [&line](const MeasureProgress& now) {
    const double done =
        now.expected_frames > 0
            ? std::min(1.0, double(now.frames) / now.expected_frames)
            : 0.0;
    line.show(
        done,
        fmt::format(
            "measuring: frame {}, {}", now.frames, counted(now.feeds, "feed")));
  };
}

void require_own_times(const Measurement& measurement,
                       const std::string& source) {
  if (!measurement.mistimed) return;
  throw InputError(source, kMistimedWords, kGiveAsTaken);
}

void require_feeds(const Measurement& measurement, const std::string& source) {
  if (!measurement.fit.feeds.empty()) return;
  if (measurement.time_scale) {
    throw InputError(source,
                     "no feed was found at the film's own time scale: " +
                         time_scale_words(*measurement.time_scale),
                     "Slow motion cannot be measured otherwise");
  }
  if (measurement.saved_again) {
    throw InputError(source,
                     std::string("no feed was found: ") + kHaltingWords,
                     kGiveAsTaken);
  }
  throw InputError(source,
                   "no feed was found",
                   "Check that it shows the launcher feeding the table, that "
                   "the bench belongs to this camera, that it is as it was "
                   "taken (not saved again at another rate), and, if it is "
                   "slow motion, say how slow (--slow 8); 'evenfeed measure "
                   "--sightings-out FILE' writes what was seen");
}

}  // namespace evenfeed
