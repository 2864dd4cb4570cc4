// SPDX-License-Identifier: MIT
// How often wear is cried where there is none, found where there is, and how
// far its intervals hold: seeded weeks of invented sessions (simulate/weeks.h)
// judged as 'evenfeed wear' judges them.
//   wear_rates [--runs 400] [--seed 1] [--alarm 0.003] [--every 1]
//              [--only WORDS]
#include "bench/wear_cases.h"
#include "simulate/weeks.h"
#include "stats/distributions.h"
#include "stats/grouped_precision.h"
#include "support/weeks_history.h"
#include "wear/wear.h"

#include <cmath>
#include <cstdlib>
#include <cstring>
#include <functional>
#include <map>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include <Eigen/LU>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

// Ten weeks, five sessions a week, 120 feeds: 6000 feeds.
constexpr int kSessions = 50;
constexpr int kForecastAt = 25;  // sessions known when the forecast is made
constexpr double kAllowed = 10;  // per cent of speed, for the forecast

std::vector<ServiceEvent> events_of(const WeeksScenario& scenario) {
  std::vector<ServiceEvent> events;
  for (const WeeksService& one : scenario.services) {
    ServiceEvent event;
    event.at = scenario.start + std::llround(86400 * one.day);
    event.kind = find_service_kind(one.kind).value();
    events.push_back(event);
  }
  return events;
}

// The first `sessions` of a history, with what had been served by then.
WearHistory first_sessions(const WearHistory& all, int sessions) {
  WearHistory out;
  out.sessions.assign(all.sessions.begin(), all.sessions.begin() + sessions);
  const WearSession& last = out.sessions.back();
  for (const WearEvent& one : all.events) {
    if (one.sessions_before < sessions) out.events.push_back(one);
  }
  out.feeds = last.feeds_before + last.feeds;
  return out;
}

// How all scatters, of speed, in per cent.
struct Scatter {
  double of_setup = 0;
  double of_session = 0;
  int shared_by = 1;  ///< sessions
};

// Whether one who knows how set-ups and feeds scatter, and that there is no
// step, would alarm about speed: what the sessions hold of it at most.
bool oracle_finds(const MeasureWear& speed, const Scatter& scatter) {
  const auto n = static_cast<Eigen::Index>(speed.points.size());
  int most = 0;
  for (const TrendPoint& one : speed.points) most = std::max(most, one.level);
  Eigen::MatrixXd x = Eigen::MatrixXd::Zero(n, most + 2);
  Eigen::VectorXd y(n);
  Eigen::VectorXd w(n);
  std::vector<int> setups;
  for (Eigen::Index i = 0; i < n; ++i) {
    const TrendPoint& one = speed.points[static_cast<std::size_t>(i)];
    x(i, one.level) = 1;
    x(i, most + 1) = one.kilofeeds;
    y(i) = one.value;
    w(i) = 1 / (scatter.of_session * scatter.of_session + one.variance);
    setups.push_back(one.session / scatter.shared_by);
  }
  const GroupedPrecision precision(
      w, setups, scatter.of_setup * scatter.of_setup);
  const Eigen::MatrixXd g = precision.times(x);
  const Eigen::MatrixXd phi = (x.transpose() * g).inverse();
  const double slope = (phi * (g.transpose() * y))(most + 1);
  const SessionTrend& trend = speed.trend;
  const double tail = student_t_cdf(-trend.slope_limit, trend.degrees);
  return std::abs(slope) / std::sqrt(phi(most + 1, most + 1)) >
         normal_quantile(1 - tail);
}

struct Tally {
  int runs = 0;
  int false_end = 0;   ///< an alarm about something that does not wear
  int false_ever = 0;  ///< at any of the looks
  int found_end = 0;   ///< an alarm about speed, at the end
  int found_ever = 0;
  int hinted_end = 0;  ///< found, or a hint
  int oracle = 0;      ///< oracle_finds() at the end
  int as_step = 0;     ///< of found_end: called a sudden change
  int slopes = 0;
  int covered = 0;
  int forecasts = 0;
  int forecast_covered = 0;
  int forecasts_alarmed = 0;
  int alarmed_covered = 0;
  int bands = 0;
  int band_covered = 0;
  std::vector<int> noticed;  ///< sessions until speed was first alarmed
};

bool false_alarm(const WearResult& result, bool speed_is_true) {
  for (const MeasureWear& one : result.measures) {
    if (one.alarm() && !(speed_is_true && one.id == Measure::kSpeed)) {
      return true;
    }
  }
  return false;
}

void look_at_forecast(const WearHistory& all,
                      double slope,
                      const WearOptions& options,
                      Tally& tally) {
  WearOptions wide = options;
  wide.allowed["speed"] = kAllowed;
  const WearHistory known = first_sessions(all, kForecastAt);
  const WearResult result = judge_wear(known, wide);
  const MeasureWear& speed = result.of(Measure::kSpeed);
  if (!speed.forecast.ok) return;
  const Forecast& forecast = speed.forecast;
  const WearSession& next = all.sessions[kForecastAt];
  const double value = next.values[0].value;
  const BandPoint& near = forecast.band[0];
  const BandPoint& far = forecast.band[1];
  const double part =
      (next.feeds_mid() - near.feeds) / (far.feeds - near.feeds);
  ++tally.bands;
  tally.band_covered += value > near.low + part * (far.low - near.low) &&
                        value < near.high + part * (far.high - near.high);
  if (slope == 0) return;
  const double truth = 1000 * kAllowed / std::abs(slope) - known.feeds;
  if (truth <= 0) return;
  const bool covered =
      forecast.feeds_low <= truth && truth <= forecast.feeds_high;
  ++tally.forecasts;
  tally.forecast_covered += covered;
  if (speed.alarm()) {
    ++tally.forecasts_alarmed;
    tally.alarmed_covered += covered;
  }
}

Tally run_case(const WeeksScenario& scenario,
               const WearOptions& options,
               const Case& one_case,
               int every,
               int runs,
               std::uint64_t seed) {
  Tally tally;
  const WornQuantity& truth = scenario[WornColumn::kSpeed];
  constexpr double kShared = 2.5;  // per cent, see alike()
  const Scatter scatter =
      one_case.shared_by > 1
          ? Scatter{kShared, one_case.own * kShared, one_case.shared_by}
          : Scatter{0, 100 * truth.setup / truth.level, 1};
  const double wear = scenario[WornColumn::kSpeed].wear_percent;
  const double slope = 100 * std::log1p(wear / 100);
  const bool speed_is_true = wear != 0 || scenario.damage_day >= 0;
  // The first session that something is wrong with.
  const int since =
      scenario.damage_day >= 0
          ? static_cast<int>(
                std::ceil(scenario.damage_day / 7 * scenario.sessions_per_week))
          : 0;
  for (int run = 0; run < runs; ++run) {
    HistoryBuilder builder("bench", events_of(scenario), options.fewest_feeds);
    int id = 0;
    for (const WeeksSession& one : simulate_weeks(
             scenario, seed * 100000 + static_cast<std::uint64_t>(run))) {
      builder.add(weeks_series(one, ++id));
    }
    WearHistory all = builder.finish();
    if (one_case.disturb)
      one_case.disturb(all, seed * 100000 + static_cast<std::uint64_t>(run));
    ++tally.runs;
    bool false_before = false;
    int noticed = 0;
    for (int known = 5; known <= kSessions; known += every) {
      const WearResult result = judge_wear(first_sessions(all, known), options);
      const bool wrong = false_alarm(result, speed_is_true && known > since);
      false_before = false_before || wrong;
      const MeasureWear& speed = result.of(Measure::kSpeed);
      const bool found = speed_is_true && known > since && speed.alarm();
      if (found && noticed == 0) noticed = known - since;
      if (known < kSessions) continue;
      tally.false_end += wrong;
      tally.found_end += found;
      tally.hinted_end += found || (speed_is_true && speed.trend.hinted);
      tally.as_step += found && speed.trend.stepped;
      tally.oracle +=
          wear != 0 && speed.trend.ok && oracle_finds(speed, scatter);
      if (speed.trend.ok && std::isfinite(speed.trend.slope.value)) {
        ++tally.slopes;
        tally.covered +=
            speed.trend.slope.low <= slope && slope <= speed.trend.slope.high;
      }
    }
    tally.false_ever += false_before;
    if (noticed > 0) {
      ++tally.found_ever;
      tally.noticed.push_back(noticed);
    }
    if (scenario.damage_day < 0) {
      look_at_forecast(all, slope, options, tally);
    }
  }
  return tally;
}

std::string percent(int part, int of) {
  return of == 0 ? "-" : fmt::format("{:.1f}", 100.0 * part / of);
}

std::string median_of(std::vector<int> values) {
  if (values.empty()) return "-";
  std::sort(values.begin(), values.end());
  return fmt::format("{}", values[values.size() / 2]);
}

void print_row(const std::string& name, const Tally& t) {
  fmt::print(
      "| {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} | {} |\n",
      name,
      percent(t.false_end, t.runs),
      percent(t.false_ever, t.runs),
      percent(t.found_end, t.runs),
      percent(t.hinted_end, t.runs),
      percent(t.oracle, t.runs),
      percent(t.found_ever, t.runs),
      percent(t.as_step, t.found_end),
      median_of(t.noticed),
      percent(t.covered, t.slopes),
      percent(t.forecast_covered, t.forecasts),
      t.forecasts_alarmed == 0
          ? "-"
          : fmt::format("{} of {}",
                        percent(t.alarmed_covered, t.forecasts_alarmed),
                        t.forecasts_alarmed),
      percent(t.band_covered, t.bands));
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  int runs = 400;
  std::uint64_t seed = 1;
  std::string only;
  int every = 1;  // sessions from one look to the next
  WearOptions options;
  for (int i = 1; i + 1 < argc; i += 2) {
    if (!std::strcmp(argv[i], "--runs")) runs = std::atoi(argv[i + 1]);
    if (!std::strcmp(argv[i], "--every")) every = std::atoi(argv[i + 1]);
    if (!std::strcmp(argv[i], "--only")) only = argv[i + 1];
    if (!std::strcmp(argv[i], "--alarm")) {
      options.alarm = std::atof(argv[i + 1]);
    }
    if (!std::strcmp(argv[i], "--seed")) {
      seed = std::strtoull(argv[i + 1], nullptr, 10);
    }
  }
  fmt::print(
      "{} runs a row, seed {}; 50 sessions of 120 feeds (uneven: 12 to 228), "
      "looked at after every {} from the fifth; numbers in %\n",
      runs,
      seed,
      every);
  for (const double setup : {2.0, 0.75}) {
    fmt::print(
        "\nset-up scatter {} within-session sd\n| case | false at the end | "
        "false ever | found at the end | or hinted | an oracle finds | found "
        "ever | of these a "
        "step | sessions until found | slope covered | forecast covered | of "
        "those "
        "alarmed | next session in band |\n|---|---|---|---|---|---|---|---|"
        "---|---|---|---|---|\n",
        setup);
    for (const Case& one : wear_cases()) {
      if (one.name.find(only) == std::string::npos) continue;
      WeeksScenario scenario = steady(setup);
      one.change(scenario);
      print_row(one.name, run_case(scenario, options, one, every, runs, seed));
    }
  }
}
