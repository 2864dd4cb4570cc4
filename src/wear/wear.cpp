// SPDX-License-Identifier: MIT
#include "wear/wear.h"

#include "base/counted.h"
#include "stats/descriptive.h"
#include "wear/words.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

// The alarms allowed are those of a look at so many sessions: options.h.
constexpr double kUsualSessions = 25;

std::size_t at(Measure id) { return static_cast<std::size_t>(id); }

// The service stretch each session is in, for one measure.
std::vector<int> stretches(const WearHistory& history, Measure id) {
  std::vector<int> stretch(history.sessions.size(), 0);
  for (const WearEvent& event : history.events) {
    if (!breaks(event.kind, id)) continue;
    for (auto i = static_cast<std::size_t>(event.sessions_before);
         i < stretch.size();
         ++i) {
      ++stretch[i];
    }
  }
  return stretch;
}

// Variance of a single contribution, pooled over the sessions that have one.
double pooled_variance(const WearHistory& history, Measure id) {
  double sum = 0;
  double weight = 0;
  for (const WearSession& session : history.sessions) {
    const SessionValue& one = session.values[at(id)];
    if (!std::isfinite(one.value)) continue;
    sum += one.weight * one.unit_variance;
    weight += one.weight;
  }
  return weight > 0 ? sum / weight : 0;
}

std::vector<TrendPoint> points_of(const WearHistory& history, Measure id) {
  const double pooled = pooled_variance(history, id);
  const std::vector<int> stretch = stretches(history, id);
  std::map<std::pair<int, std::string>, int> levels;
  std::map<std::string, int> setups;
  std::vector<TrendPoint> points;
  for (std::size_t i = 0; i < history.sessions.size(); ++i) {
    const WearSession& session = history.sessions[i];
    const SessionValue& one = session.values[at(id)];
    if (!std::isfinite(one.value) || !(one.weight > 0)) continue;
    const auto level = levels.try_emplace({stretch[i], session.settings},
                                          static_cast<int>(levels.size()));
    points.push_back(
        {one.value,
         pooled / one.weight,
         session.feeds_mid() / 1000,
         static_cast<double>(session.started_at -
                             history.sessions.front().started_at) /
             86400,
         level.first->second,
         static_cast<int>(i),
         session.setup.empty()
             ? -1
             : setups
                   .try_emplace(session.setup, static_cast<int>(setups.size()))
                   .first->second,
         session.temperature_C});
  }
  return points;
}

double median_feeds(const WearHistory& history) {
  std::vector<double> feeds;
  for (const WearSession& one : history.sessions) feeds.push_back(one.feeds);
  return feeds.empty() ? 1 : std::max(1.0, median(feeds));
}

// Where the present level of a measure began, and where it stands.
ForecastStart start_of(const WearHistory& history, const MeasureWear& measure) {
  ForecastStart start;
  start.feeds_now = history.feeds;
  start.feeds_per_session = median_feeds(history);
  const TrendPoint& last = measure.points.back();
  start.feeds_at_service = history.sessions.front().feeds_before;
  for (const WearEvent& event : history.events) {
    if (breaks(event.kind, measure.id)) {
      start.feeds_at_service = event.feeds_before;
    }
  }
  std::vector<double> feeds;
  std::set<int> setups;
  for (const TrendPoint& one : measure.points) {
    if (one.level != last.level) continue;
    feeds.push_back(1000 * one.kilofeeds);
    if (measure.trend.shared_sd > 0) {
      setups.insert(one.setup < 0 ? -2 - one.session : one.setup);
    }
  }
  start.centre_feeds = mean(feeds);
  start.level_sessions =
      static_cast<int>(setups.empty() ? feeds.size() : setups.size());
  start.level_now =
      measure.trend.fitted.back() +
      measure.trend.slope.value * (start.feeds_now / 1000 - last.kilofeeds);
  return start;
}

std::vector<int> standing_out(const MeasureWear& measure) {
  std::vector<int> found;
  const SessionTrend& trend = measure.trend;
  for (std::size_t i = 0; i < trend.fitted.size(); ++i) {
    const double value = measure.points[i].value;
    const bool weighed_down =
        std::find(trend.weighed_down.begin(),
                  trend.weighed_down.end(),
                  static_cast<int>(i)) != trend.weighed_down.end();
    if (weighed_down || value < trend.lower[i] || value > trend.upper[i]) {
      found.push_back(static_cast<int>(i));
    }
  }
  return found;
}

// How far a measure has moved since its first session; with a step beside a
// slope the further of the two.
double movement_of(const MeasureWear& measure) {
  const SessionTrend& trend = measure.trend;
  const double run =
      measure.points.back().kilofeeds - measure.points.front().kilofeeds;
  const double slope = trend.wears ? std::abs(trend.slope.value * run) : 0;
  const double step = trend.stepped ? std::abs(trend.step.value) : 0;
  return std::max(slope, step);
}

// No set-up scatters like this, but another unit, profile or launcher does.
void warn_of_strangers(const WearResult& result,
                       std::vector<std::string>& warnings) {
  std::map<int, std::string> measures_of;
  for (const MeasureWear& measure : result.measures) {
    for (const int i : measure.trend.weighed_down) {
      std::string& names =
          measures_of[measure.points[static_cast<std::size_t>(i)].session];
      names +=
          (names.empty() ? "" : ", ") + std::string(info(measure.id).words);
    }
  }
  for (const auto& [index, names] : measures_of) {
    const WearSession& session =
        result.history.sessions[static_cast<std::size_t>(index)];
    warnings.push_back(fmt::format(
        "session {} of {} stands out in {} and does not count there: look "
        "whether its units, its profile and its launcher are right",
        session.id,
        date_text(session.started_at),
        names));
  }
}

// "1, 2, 3 and 9 more"
std::string listed(const std::vector<std::string>& ids) {
  constexpr std::size_t kMost = 4;
  if (ids.size() <= kMost) return fmt::format("{}", fmt::join(ids, ", "));
  return fmt::format("{} and {} more",
                     fmt::join(ids.begin(), ids.begin() + kMost - 1, ", "),
                     ids.size() - kMost + 1);
}

// What one version measured better than another looks like wear, or hides it.
void warn_of_versions(const std::vector<WearSession>& sessions,
                      std::vector<std::string>& warnings) {
  std::map<std::string, std::vector<std::string>> measured_by;
  for (const WearSession& one : sessions) {
    measured_by[one.program_version].push_back(fmt::format("{}", one.id));
  }
  if (measured_by.size() < 2) return;
  std::vector<std::string> parts;
  for (const auto& [version, ids] : measured_by) {
    parts.push_back(fmt::format(
        "{} {} by {}",
        ids.size() == 1 ? "session" : "sessions",
        listed(ids),
        version.empty() ? "one that is not told" : "evenfeed " + version));
  }
  warnings.push_back(fmt::format(
      "sessions were measured by different versions of the program, whose "
      "numbers may differ: {}. Measure the older films again ('evenfeed "
      "session ... --replace')",
      fmt::join(parts, "; ")));
}

std::vector<std::string> warnings_of(const WearResult& result) {
  std::vector<std::string> warnings;
  const auto& sessions = result.history.sessions;
  const auto never_ready = std::count_if(
      sessions.begin(), sessions.end(), [](const WearSession& one) {
        return !one.ready;
      });
  if (never_ready > 0) {
    warnings.push_back(fmt::format(
        "in {} of {} the launcher was not ready at the end; all their "
        "feeds count here, its warming up with them",
        never_ready,
        counted(std::ssize(sessions), "session")));
  }
  for (const WearSession& one : sessions) {
    if (one.settings != sessions.front().settings) {
      warnings.push_back(
          "the launcher's settings differ between sessions: each setting has a "
          "level of its own, and only sessions of one setting are compared");
      break;
    }
  }
  const auto without = std::count_if(
      sessions.begin(), sessions.end(), [](const WearSession& one) {
        return std::isnan(one.temperature_C);
      });
  if (without > 0 && without < std::ssize(sessions)) {
    warnings.push_back(
        fmt::format("{} of {} sessions do not tell the room's temperature "
                    "(--temperature): it is not allowed for",
                    without,
                    sessions.size()));
  }
  warn_of_versions(sessions, warnings);
  warn_of_strangers(result, warnings);
  return warnings;
}

}  // namespace

bool MeasureWear::small() const {
  constexpr double kMatters = 0.5;  // of what is allowed
  return seen() && forecast.ok && moved < kMatters * forecast.allowed;
}

bool WearResult::alarm() const {
  return std::any_of(measures.begin(), measures.end(), [](const auto& one) {
    return one.alarm();
  });
}

WearResult judge_wear(WearHistory history, const WearOptions& options) {
  options.check();
  WearResult result;
  result.history = std::move(history);
  int shares = 0;
  for (const MeasureInfo& one : measures()) {
    MeasureWear measure;
    measure.id = one.id;
    measure.points = points_of(result.history, one.id);
    const auto sessions = static_cast<int>(measure.points.size());
    if (sessions >= options.fewest_sessions) shares += one.share;
    result.measures.push_back(std::move(measure));
  }
  for (MeasureWear& measure : result.measures) {
    const auto sessions = static_cast<double>(measure.points.size());
    const TrendOptions trend{options.confidence,
                             options.alarm *
                                 std::min(sessions / kUsualSessions, 2.0) *
                                 info(measure.id).share / std::max(shares, 1),
                             options.fewest_sessions};
    measure.trend = fit_session_trend(measure.points, trend);
    if (measure.trend.ok) {
      const auto allowed =
          options.allowed.find(std::string(info(measure.id).name));
      measure.forecast =
          forecast(measure.trend,
                   allowed == options.allowed.end() ? Forecast::kUnknown
                                                    : allowed->second,
                   start_of(result.history, measure),
                   options.confidence);
      measure.stand_out = standing_out(measure);
      measure.moved = movement_of(measure);
    }
    measure.sentence = measure_sentence(measure, result.history);
  }
  result.suggestions = suggestions_for(result);
  result.warnings = warnings_of(result);
  return result;
}

}  // namespace evenfeed
