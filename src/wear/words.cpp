// SPDX-License-Identifier: MIT
#include "wear/words.h"

#include <algorithm>
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

// Movements of a logarithm are per cent as long as they are small; beyond 10
// they are told as what they are.
double told(bool of_logarithm, double movement) {
  constexpr double kSmall = 10;
  return of_logarithm && std::abs(movement) > kSmall
             ? 100 * std::expm1(movement / 100)
             : movement;
}

bool of_logarithm(const MeasureWear& measure) {
  return level_of(measure.id, 0) != 0;
}

// Of a movement's size, in the measure's unit.
std::string movement_words(const MeasureWear& measure, double movement) {
  return two_digits(std::abs(told(of_logarithm(measure), movement)));
}

// "0.9 to 1.5": the interval in the direction of the estimate.
std::string interval_words(const MeasureWear& measure, const Estimate& one) {
  const double low = told(of_logarithm(measure), one.low);
  const double high = told(of_logarithm(measure), one.high);
  return one.value < 0 ? two_digits(-high) + " to " + two_digits(-low)
                       : two_digits(low) + " to " + two_digits(high);
}

std::string rate_words(const MeasureWear& measure) {
  const Estimate& slope = measure.trend.slope;
  return fmt::format("{} by {} {} per 1000 feeds ({})",
                     slope.value < 0 ? "falls" : "rises",
                     movement_words(measure, slope.value),
                     info(measure.id).unit,
                     interval_words(measure, slope));
}

std::string left_words(const MeasureWear& measure) {
  const Forecast& forecast = measure.forecast;
  const std::string_view unit = info(measure.id).unit;
  const std::string limit =
      fmt::format("the {} {} allowed", two_digits(forecast.allowed), unit);
  if (!std::isfinite(forecast.allowed)) return {};
  if (forecast.feeds_left <= 0 && forecast.feeds_high <= 0) {
    return fmt::format("; {} are used up (moved {} {} since the last service)",
                       limit,
                       movement_words(measure, forecast.moved),
                       unit);
  }
  // The best guess alone would call many a steady launcher worn.
  if (forecast.feeds_left <= 0 ||
      (forecast.feeds_low <= 0 && !std::isfinite(forecast.feeds_high))) {
    return fmt::format("; whether {} are used up cannot be told yet", limit);
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

// Wear that would use up what is allowed over the feeds of all sessions would
// have been seen.
bool enough_seen(const MeasureWear& measure, const WearHistory& history) {
  const Forecast& forecast = measure.forecast;
  return forecast.ok &&
         (!std::isfinite(forecast.allowed) ||
          forecast.less_than * history.feeds / 1000 <= forecast.allowed);
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
        movement_words(measure, trend.step.value),
        about.unit,
        interval_words(measure, trend.step),
        first.id,
        date_text(first.started_at),
        trend.either ? ", unless it wears steadily: not settled yet" : "");
  }
  if (trend.wears) {
    parts +=
        (parts.empty() ? ": " : "; otherwise ") + rate_words(measure) +
        (trend.either && !trend.stepped ? ", or did so at once: not settled yet"
                                        : "");
  } else if (trend.hinted) {
    parts += fmt::format("{}perhaps {}, too little to be sure yet",
                         parts.empty() ? ": " : "; otherwise ",
                         rate_words(measure));
  } else if (measure.forecast.ok) {
    parts += fmt::format("{}{} {} {} per 1000 feeds",
                         parts.empty() ? ": " : "; otherwise ",
                         enough_seen(measure, history)
                             ? "no wear to be seen: less than"
                             : "no alarm, but too early to see less than",
                         movement_words(measure, measure.forecast.less_than),
                         about.unit);
  }
  if (std::isfinite(trend.per_degree.value)) {
    parts += fmt::format("; {} {} per degree of the room's temperature",
                         movement_words(measure, trend.per_degree.value),
                         about.unit);
  }
  if (measure.small()) {
    parts += fmt::format(
        "; no alarm, since this is less than half of the {} {} "
        "allowed",
        two_digits(measure.forecast.allowed),
        about.unit);
  }
  if (measure.forecast.ok) parts += left_words(measure);
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

bool WearResult::too_early() const {
  const auto tells_nothing = [](const MeasureWear& one) {
    return !one.trend.ok;
  };
  const auto unseen = [&](const MeasureWear& one) {
    return one.forecast.ok && !enough_seen(one, history);
  };
  return !alarm() &&
         (std::all_of(measures.begin(), measures.end(), tells_nothing) ||
          std::any_of(measures.begin(), measures.end(), unseen));
}

std::string WearResult::headline() const {
  if (history.sessions.empty()) return "No sessions yet.";
  int judged = 0;
  for (const MeasureWear& one : measures) judged += one.trend.ok;
  if (judged == 0) return "Too few sessions to tell.";
  if (!alarm()) {
    const MeasureWear* first = nullptr;
    int unseen = 0;
    for (const MeasureWear& one : measures) {
      if (!one.forecast.ok || enough_seen(one, history)) continue;
      if (first == nullptr) first = &one;
      ++unseen;
    }
    std::string little;
    for (const MeasureWear& one : measures) {
      if (!one.small()) continue;
      little += (little.empty() ? "" : ", ") + std::string(info(one.id).words);
    }
    if (!little.empty()) {
      return "No alarm: what moves has moved by little: " + little + ".";
    }
    if (first == nullptr) return "No wear to be seen.";
    return fmt::format(
        "No alarm, but too early to see less than {} {} per 1000 feeds in "
        "{}{}.",
        movement_words(*first, first->forecast.less_than),
        info(first->id).unit,
        info(first->id).words,
        unseen == 1
            ? ""
            : fmt::format(", nor little in {} more measures", unseen - 1));
  }
  std::string names;
  for (const MeasureWear& one : measures) {
    if (!one.alarm()) continue;
    names += (names.empty() ? "" : ", ") + std::string(info(one.id).words);
  }
  return "Needs attention: " + names + ".";
}

}  // namespace evenfeed
