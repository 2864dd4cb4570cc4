// SPDX-License-Identifier: MIT
#include "wear/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Two significant digits, without an exponent.
std::string two_digits(double value) {
  if (value == 0 || !std::isfinite(value)) return fmt::format("{:.0f}", value);
  const int decimals =
      1 - static_cast<int>(std::floor(std::log10(std::abs(value))));
  return fmt::format("{:.{}f}", value, std::clamp(decimals, 0, 6));
}

// "0.9 to 1.5": the interval in the direction of the estimate.
std::string interval_words(const Estimate& one) {
  return one.value < 0 ? two_digits(-one.high) + " to " + two_digits(-one.low)
                       : two_digits(one.low) + " to " + two_digits(one.high);
}

std::string rate_words(const Estimate& slope, std::string_view unit) {
  return fmt::format("{} by {} {} per 1000 feeds ({})",
                     slope.value < 0 ? "falls" : "rises",
                     two_digits(std::abs(slope.value)),
                     unit,
                     interval_words(slope));
}

std::string left_words(const Forecast& forecast, std::string_view unit) {
  const std::string limit =
      fmt::format("the {} {} allowed", two_digits(forecast.allowed), unit);
  if (!std::isfinite(forecast.allowed)) return {};
  if (forecast.feeds_left <= 0) {
    return fmt::format("; {} are used up (moved {} {} since the last service)",
                       limit,
                       two_digits(std::abs(forecast.moved)),
                       unit);
  }
  if (!std::isfinite(forecast.feeds_high)) {
    return fmt::format(
        "; {} not before {} feeds", limit, feeds_words(forecast.feeds_low));
  }
  return fmt::format(
      "; {} in about {} feeds ({} to {}), {:.0f} sessions ({:.0f} to {:.0f})",
      limit,
      feeds_words(forecast.feeds_left),
      feeds_words(forecast.feeds_low),
      feeds_words(forecast.feeds_high),
      forecast.sessions(forecast.feeds_left),
      std::floor(forecast.sessions(forecast.feeds_low)),
      std::ceil(forecast.sessions(forecast.feeds_high)));
}

// What a set of measures says together.
struct Signs {
  const WearResult& result;

  // -1 falls, +1 rises, 0 no alarm.
  int of(Measure id) const {
    const MeasureWear& one = result.of(id);
    if (!one.alarm()) return 0;
    const double value =
        one.trend.wears ? one.trend.slope.value : one.trend.step.value;
    return value < 0 ? -1 : 1;
  }
  bool moves(Measure id) const { return of(id) != 0; }
  bool sudden() const {
    for (const MeasureWear& one : result.measures) {
      if (one.trend.ok && one.trend.stepped) return true;
    }
    return false;
  }
  std::vector<std::string> evidence(std::initializer_list<Measure> ids) const {
    std::vector<std::string> names;
    for (const Measure id : ids) {
      if (moves(id)) names.emplace_back(info(id).name);
    }
    return names;
  }
};

}  // namespace

std::string feeds_words(double feeds) {
  if (!std::isfinite(feeds)) return "no end of";
  if (feeds >= 1e6) return fmt::format("{:.1f} million", feeds / 1e6);
  const double step = feeds >= 1000 ? 100 : 10;
  return fmt::format("{:.0f}", std::round(feeds / step) * step);
}

std::string measure_sentence(const MeasureWear& measure,
                             const WearHistory& history) {
  const MeasureInfo& about = info(measure.id);
  const SessionTrend& trend = measure.trend;
  std::string text(about.words);
  if (!trend.ok) return text + ": " + trend.message;
  std::string parts;
  if (trend.stepped) {
    const WearSession& first =
        history.sessions[static_cast<std::size_t>(trend.step_before)];
    parts = fmt::format(
        ": {} suddenly by {} {} ({}) at session {} of {}, which the service "
        "log does not explain{}",
        trend.step.value < 0 ? "fell" : "rose",
        two_digits(std::abs(trend.step.value)),
        about.unit,
        interval_words(trend.step),
        first.id,
        date_time_text(first.started_at).substr(0, 10),
        trend.either ? ", unless it wears steadily: not settled yet" : "");
  }
  if (trend.wears) {
    parts +=
        (parts.empty() ? ": " : "; otherwise ") +
        rate_words(trend.slope, about.unit) +
        (trend.either && !trend.stepped ? ", or did so at once: not settled yet"
                                        : "");
  } else if (trend.hinted) {
    parts += fmt::format("{}perhaps {}, too little to be sure yet",
                         parts.empty() ? ": " : "; otherwise ",
                         rate_words(trend.slope, about.unit));
  } else if (measure.forecast.ok) {
    parts += fmt::format("{}no wear to be seen: less than {} {} per 1000 feeds",
                         parts.empty() ? ": " : "; otherwise ",
                         two_digits(measure.forecast.less_than),
                         about.unit);
  }
  if (measure.forecast.ok) parts += left_words(measure.forecast, about.unit);
  return text + parts;
}

std::vector<Suggestion> suggestions_for(const WearResult& result) {
  using enum Measure;
  const Signs signs{result};
  std::vector<Suggestion> found;
  const auto suggest =
      [&](bool when, std::string words, std::initializer_list<Measure> ids) {
        if (when) found.push_back({std::move(words), signs.evidence(ids)});
      };
  const bool spread = signs.of(kSpreadAlong) > 0 ||
                      signs.of(kSpreadAcross) > 0 || signs.of(kSpreadSpeed) > 0;
  suggest(signs.sudden(),
          "Something changed from one session to the next: look for damage, a "
          "loose part, or a service that was not written down",
          {kSpeed,
           kKick,
           kTurn,
           kHeading,
           kSpreadAlong,
           kSpreadAcross,
           kSpreadSpeed,
           kDrift,
           kInterval});
  suggest(signs.of(kSpeed) < 0 && signs.of(kKick) < 0,
          "Speed falls and kick with it: the wheel grips less. Look at its "
          "surface; clean it or replace it",
          {kSpeed, kKick});
  suggest(signs.of(kSpeed) < 0 && signs.of(kKick) >= 0,
          "Speed falls and kick does not: look at the wheel's surface, the "
          "gap between the wheels, the motor and its supply",
          {kSpeed});
  suggest(signs.of(kSpeed) > 0,
          "Speed rises: look at the gap between the wheels and the motor's "
          "control",
          {kSpeed});
  suggest(signs.moves(kKick) && signs.of(kSpeed) >= 0,
          "Kick moves while speed holds: the spin changes. Look at the wheels' "
          "surfaces, at how they share the work, and at the balls",
          {kKick});
  suggest(spread,
          "The spread grows: look at the wheel for uneven wear and at the "
          "balls; measure again with a fresh set of balls to tell them apart",
          {kSpreadAlong, kSpreadAcross, kSpreadSpeed});
  suggest(signs.moves(kHeading),
          "The heading creeps: look at the launcher's mounting and alignment",
          {kHeading});
  suggest(signs.moves(kTurn),
          "The turn at the bounce moves: sidespin changes. Look whether the "
          "wheels still run alike",
          {kTurn});
  suggest(signs.moves(kDrift),
          "The speed moves otherwise within a session than it used to: look at "
          "the motor's warming up and at its supply",
          {kDrift});
  suggest(signs.moves(kInterval),
          "The time between feeds changes: look at the feeder",
          {kInterval});
  if (!found.empty()) {
    found.push_back(
        {"These are suggestions from the figures alone. The maker's manual "
         "comes first; open the launcher only unplugged and with its wheels at "
         "rest",
         {}});
  }
  return found;
}

std::string WearResult::headline() const {
  if (history.sessions.empty()) return "No sessions yet.";
  int judged = 0;
  for (const MeasureWear& one : measures) judged += one.trend.ok;
  if (judged == 0) return "Too few sessions to tell.";
  if (!alarm()) return "No wear to be seen.";
  std::string names;
  for (const MeasureWear& one : measures) {
    if (!one.alarm()) continue;
    names += (names.empty() ? "" : ", ") + std::string(info(one.id).words);
  }
  return "Needs attention: " + names + ".";
}

}  // namespace evenfeed
