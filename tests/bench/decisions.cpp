// SPDX-License-Identifier: MIT
// How often the decisions are right: seeded launchers of known truth, four
// characteristics, settings as they come, one line of a table per kind of
// launcher.
//   decisions [SESSIONS [FEEDS]]     default 2000 sessions of 100 feeds a line
//
// wrong-ready   share of sessions called ready although the mean of x_mm, by
//               what is already under way, moves by more than the tolerance
//               over the next 30 feeds, or although the spread exceeds its
//               tolerance
// never         share of sessions that are not called ready at all
// wait          feeds until ready, median and 90 %, of the sessions that were
// false         false alarms per 1000 feeds monitored in control
// found, delay  changes signalled, and after how many feeds (median)
// dated         of these, estimated to within 3 feeds
// mis-feeds     discarded, of all after the warm-up
// thrown away   good feeds discarded, of all after the warm-up
// At the end, how long one feed takes on one core, all charts included.
#include "base/parallel.h"
#include "quality/qualification.h"
#include "support/launcher.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <string>
#include <vector>

using namespace evenfeed;

namespace {

struct Row {
  std::string name;
  LauncherFault fault;
  double spread_tolerance = 0;  ///< of x_mm, in its true sd; 0: none
};

struct Tally {
  int sessions = 0;
  int wrong = 0;
  int never = 0;
  std::vector<int> wait;
  int false_alarms = 0;
  int in_control = 0;
  int changes = 0;  ///< sessions that were ready before the change
  int found = 0;
  int dated = 0;
  std::vector<int> delay;
  int misfeeds = 0;
  int misfeeds_found = 0;
  int good = 0;
  int good_lost = 0;

  void add(const Tally& other);
};

template <class T>
void append(std::vector<T>& to, const std::vector<T>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

void Tally::add(const Tally& other) {
  sessions += other.sessions;
  wrong += other.wrong;
  never += other.never;
  append(wait, other.wait);
  false_alarms += other.false_alarms;
  in_control += other.in_control;
  changes += other.changes;
  found += other.found;
  dated += other.dated;
  append(delay, other.delay);
  misfeeds += other.misfeeds;
  misfeeds_found += other.misfeeds_found;
  good += other.good;
  good_lost += other.good_lost;
}

constexpr int kChange = 41;  // first feed of a step or of a wider spread

bool changes(const LauncherFault& fault) {
  return fault.step != 0 || fault.growth != 1;
}

bool moves(const LauncherFault& fault) {
  return fault.amplitude != 0 || fault.drift != 0;
}

bool is_single(const Signal& one) {
  return one.chart == "t2" || one.chart == "individuals";
}

// Of the mean of x_mm over the next 30 feeds, in sd, by settling and drift.
double movement_ahead(const LauncherFault& fault, int ready) {
  LauncherFault under_way = fault;
  under_way.step = 0;
  return std::abs(mean_shift(under_way, ready + 29) -
                  mean_shift(under_way, ready - 1));
}

void judge_alarms(const Row& row,
                  const SimulatedTrial& trial,
                  const Qualification& out,
                  Tally& tally) {
  const int ready = *out.ready_at_feed;
  const int feeds = out.feeds;
  const int last_in_control = changes(row.fault) ? kChange - 1 : feeds;
  if (!moves(row.fault)) {
    tally.in_control += std::max(0, last_in_control - ready);
    for (const Signal& one : out.signals) {
      const auto i = static_cast<std::size_t>(one.feed - 1);
      tally.false_alarms += one.feed > ready && one.feed <= last_in_control &&
                            !(is_single(one) && trial.misfeed[i]);
    }
  }
  if (!changes(row.fault) || ready >= kChange) return;
  ++tally.changes;
  for (const Signal& one : out.signals) {
    if (is_single(one) || one.feed < kChange) continue;
    ++tally.found;
    tally.delay.push_back(one.feed - kChange + 1);
    tally.dated += std::abs(one.changed_at_feed - kChange) <= 3;
    break;
  }
}

void judge_session(const Row& row,
                   int feeds,
                   std::uint64_t seed,
                   Tally& tally) {
  const SimulatedTrial trial = simulate_trial(row.fault, feeds, seed);
  QualityOptions options;
  constexpr double kSd = 35;  // of x_mm, see launcher.h
  if (row.spread_tolerance > 0) {
    options.tolerances.push_back(
        {"x_mm", kNotKnown, row.spread_tolerance * kSd});
  }
  const Qualification out = qualify(trial.table, options);
  ++tally.sessions;
  if (!out.ready_at_feed) {
    ++tally.never;
    return;
  }
  const int ready = *out.ready_at_feed;
  tally.wait.push_back(ready);
  const bool wide = row.spread_tolerance > 0 && row.spread_tolerance < 1;
  tally.wrong +=
      wide || movement_ahead(row.fault, ready) > options.warm_up.drift_own_sd;
  judge_alarms(row, trial, out, tally);
  for (std::size_t i = 0; i < out.tags.size(); ++i) {
    if (out.tags[i].phase == Phase::kWarmUp) continue;
    const bool thrown = out.tags[i].verdict == Verdict::kDiscard;
    tally.misfeeds += trial.misfeed[i];
    tally.misfeeds_found += trial.misfeed[i] && thrown;
    tally.good += !trial.misfeed[i];
    tally.good_lost += !trial.misfeed[i] && thrown;
  }
}

Tally measure(const Row& row, int sessions, int feeds, std::uint64_t number) {
  std::vector<Tally> parts(static_cast<std::size_t>(sessions));
  for_each_index(parts.size(), [&](std::size_t k) {
    judge_session(row, feeds, 100000 * number + k, parts[k]);
  });
  Tally all;
  for (const Tally& one : parts) all.add(one);
  return all;
}

int at_share(std::vector<int> values, double share) {
  if (values.empty()) return -1;
  std::sort(values.begin(), values.end());
  const auto n = static_cast<double>(values.size());
  return values[static_cast<std::size_t>(share * (n - 1))];
}

std::string percent(int part, int whole) {
  if (whole == 0) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%.1f %%", 100.0 * part / whole);
  return text;
}

void print(const Row& row, const Tally& r) {
  char alarms[32] = "-";
  if (r.in_control > 0) {
    std::snprintf(
        alarms, sizeof alarms, "%.1f", 1000.0 * r.false_alarms / r.in_control);
  }
  std::printf(
      "| %s | %s | %s | %d, %d | %s | %s | %s | %s | %s | %s |\n",
      row.name.c_str(),
      percent(r.wrong, r.sessions).c_str(),
      percent(r.never, r.sessions).c_str(),
      at_share(r.wait, 0.5),
      at_share(r.wait, 0.9),
      alarms,
      percent(r.found, r.changes).c_str(),
      r.delay.empty() ? "-" : std::to_string(at_share(r.delay, 0.5)).c_str(),
      percent(r.dated, r.found).c_str(),
      percent(r.misfeeds_found, r.misfeeds).c_str(),
      percent(r.good_lost, r.good).c_str());
  std::fflush(stdout);
}

std::vector<Row> rows() {
  std::vector<Row> all;
  const auto add = [&](const std::string& name, const LauncherFault& fault) {
    all.push_back({name, fault, 0});
  };
  add("settled", {});
  for (const int tau : {5, 10, 20}) {
    for (const int amplitude : {2, 5, 10}) {
      LauncherFault fault;
      fault.tau = tau;
      fault.amplitude = amplitude;
      add("settling, tau " + std::to_string(tau) + ", " +
              std::to_string(amplitude) + " sd",
          fault);
    }
  }
  for (const double drift : {0.05, 0.101, 0.15, 0.2}) {
    LauncherFault fault;
    fault.drift = drift;
    char name[64];
    std::snprintf(name, sizeof name, "drift %g sd per feed", drift);
    add(name, fault);
  }
  LauncherFault fault;
  fault.memory = 0.3;
  add("autocorrelation 0.3", fault);
  fault = {};
  fault.tails = 5;
  add("heavy tails (t5)", fault);
  fault = {};
  fault.misfeeds = 0.03;
  add("3 % mis-feeds", fault);
  for (const int step : {1, 2, 3}) {
    fault = {};
    fault.step = step;
    add("step of " + std::to_string(step) + " sd", fault);
  }
  fault = {};
  fault.growth = 1.5;
  add("spread grown by half", fault);
  all.push_back({"spread 1.05 x its tolerance", {}, 1 / 1.05});
  all.push_back({"spread 1.3 x its tolerance", {}, 1 / 1.3});
  return all;
}

double ms_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double, std::milli>(
             std::chrono::steady_clock::now() - start)
      .count();
}

// The design of a size of baseline is made once, so its feed is told apart.
void print_time_of_a_feed() {
  std::vector<double> warm_up;
  std::vector<double> monitored;
  double design = 0;
  for (std::uint64_t k = 0; k < 40; ++k) {
    LauncherFault fault;
    if (k % 2 == 1) fault.drift = 0.2;  // in the warm-up to the end
    const SimulatedTrial trial = simulate_trial(fault, 300, 900000 + k);
    Qualifier qualifier(trial.table.characteristics, {});
    bool was_ready = false;
    for (int i = 0; i < trial.table.rows(); ++i) {
      const auto start = std::chrono::steady_clock::now();
      qualifier.add(trial_row(trial.table, i));
      const double ms = ms_since(start);
      const bool ready =
          was_ready || qualifier.result().ready_at_feed.has_value();
      if (ready && !was_ready) {
        design = std::max(design, ms);
      } else {
        (was_ready ? monitored : warm_up).push_back(ms);
      }
      was_ready = ready;
    }
  }
  for (auto* part : {&warm_up, &monitored}) {
    std::sort(part->begin(), part->end());
    std::printf("%s: median %.3f ms, 99 %% %.3f ms of %zu feeds\n",
                part == &warm_up ? "a feed of the warm-up" : "a monitored feed",
                (*part)[part->size() / 2],
                (*part)[part->size() * 99 / 100],
                part->size());
  }
  std::printf("the feed that is \"ready\", with its designs: at most %.0f ms\n",
              design);
}

}  // namespace

int main(int argc, char** argv) {
  const int sessions = argc > 1 ? std::stoi(argv[1]) : 2000;
  const int feeds = argc > 2 ? std::stoi(argv[2]) : 100;
  std::printf(
      "%d sessions of %d feeds a line\n\n"
      "| launcher | wrong-ready | never | wait, 90 %% | false | found | delay "
      "| dated | mis-feeds | thrown away |\n"
      "|---|---|---|---|---|---|---|---|---|---|\n",
      sessions,
      feeds);
  const auto start = std::chrono::steady_clock::now();
  std::uint64_t number = 0;
  for (const Row& row : rows()) {
    print(row, measure(row, sessions, feeds, ++number));
  }
  std::printf("\n%.0f s\n", ms_since(start) / 1000);
  print_time_of_a_feed();
  return 0;
}
