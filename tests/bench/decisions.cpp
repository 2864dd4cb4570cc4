// SPDX-License-Identifier: MIT
// How often the decisions are right: seeded launchers of known truth, four
// characteristics, settings as they come, one line of a table per kind of
// launcher.
//   decisions [SESSIONS [FEEDS [WORDS]]]    default 2000 sessions of 100 feeds
//   a
//                                           line; WORDS: only lines with them
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
// thrown away   good feeds discarded, of all after the warm-up and before a
//               change
// review        of the same, those under review
// kept          feeds of a change that are kept, of all of it
// told          sessions that say, when they are over, that the launcher
//               swings, that every second feed differs or that the spread has
//               become smaller
// With EVENFEED_REAL_DATA set, also recorded runs: what is left of them beside
// a quadratic drift, drawn anew with 5 % of its sd added.
// At the end, how long one feed takes on one core, all charts included.
#include "base/parallel.h"
#include "quality/qualification.h"
#include "support/launcher.h"
#include "support/real_runs.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>
#include <string>
#include <vector>

#include <Eigen/QR>

using namespace evenfeed;

namespace {

struct Row {
  std::string name;
  LauncherFault fault;
  double spread_tolerance = 0;  ///< of x_mm, in its true sd; 0: none
  Eigen::MatrixXd residuals;    ///< of a recorded run; empty: made of numbers
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
  int good_in_review = 0;
  int told = 0;
  int changed = 0;
  int changed_kept = 0;

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
  good_in_review += other.good_in_review;
  told += other.told;
  changed += other.changed;
  changed_kept += other.changed_kept;
}

constexpr int kChange = 41;  // first feed of a step or of a wider spread

bool changes(const LauncherFault& fault) {
  return fault.step != 0 || fault.growth != 1;
}

bool is_changed(const LauncherFault& fault, int feed) {
  return changes(fault) && feed >= kChange &&
         (fault.step_feeds == 0 || feed < kChange + fault.step_feeds);
}

bool moves(const LauncherFault& fault) {
  return fault.amplitude != 0 || fault.drift != 0 || fault.swing != 0;
}

// Says one of the things that are not about the mean or a growing spread.
bool tells_pattern(const Qualification& out) {
  const auto says = [](const std::string& one) {
    return one.find("swings") != std::string::npos ||
           one.find("every second feed") != std::string::npos ||
           one.find("has become smaller") != std::string::npos;
  };
  return std::any_of(out.warnings.begin(), out.warnings.end(), says) ||
         std::any_of(out.holding_back.begin(), out.holding_back.end(), says);
}

bool is_single(const Signal& one) {
  return one.chart == "t2" || one.chart == "individuals";
}

// Of the mean of x_mm over the next 30 feeds, in sd, by what is under way.
double movement_ahead(const LauncherFault& fault, int ready) {
  LauncherFault under_way = fault;
  under_way.step = 0;
  double most = 0;
  for (int i = ready; i < ready + 30; ++i) {
    most = std::max(
        most,
        std::abs(mean_shift(under_way, i) - mean_shift(under_way, ready - 1)));
  }
  return most;
}

SimulatedTrial drawn_again(const Eigen::MatrixXd& residuals,
                           int feeds,
                           std::uint64_t seed) {
  RandomEngine engine = derived_engine(125, "drawn again", seed);
  std::uniform_int_distribution<Eigen::Index> any(0, residuals.rows() - 1);
  std::normal_distribution<double> normal;
  const Eigen::RowVectorXd sd =
      (residuals.colwise().squaredNorm() / residuals.rows()).cwiseSqrt();
  SimulatedTrial trial;
  trial.table.characteristics = {"along_mm", "lateral_mm", "speed_mps"};
  trial.table.values.resize(feeds, residuals.cols());
  trial.table.sigmas =
      Eigen::MatrixXd::Constant(feeds, residuals.cols(), kNotKnown);
  trial.table.unmeasured.assign(static_cast<std::size_t>(feeds), "");
  for (int i = 0; i < feeds; ++i) {
    trial.misfeed.push_back(false);
    trial.table.feeds.push_back(i + 1);
    trial.table.values.row(i) = residuals.row(any(engine));
    for (Eigen::Index j = 0; j < residuals.cols(); ++j) {
      trial.table.values(i, j) += 0.05 * sd(j) * normal(engine);
    }
  }
  return trial;
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
  LauncherFault fault = row.fault;
  fault.phase = static_cast<double>(seed % 97) / 97;
  const SimulatedTrial trial = row.residuals.rows() > 0
                                   ? drawn_again(row.residuals, feeds, seed)
                                   : simulate_trial(fault, feeds, seed);
  QualityOptions options;
  constexpr double kSd = 35;  // of x_mm, see launcher.h
  if (row.spread_tolerance > 0) {
    options.tolerances.push_back(
        {"x_mm", kNotKnown, row.spread_tolerance * kSd});
  }
  const Qualification out = qualify(trial.table, options);
  ++tally.sessions;
  tally.told += tells_pattern(out);
  if (!out.ready_at_feed) {
    ++tally.never;
    return;
  }
  const int ready = *out.ready_at_feed;
  tally.wait.push_back(ready);
  const bool wide = row.spread_tolerance > 0 && row.spread_tolerance < 1;
  tally.wrong +=
      wide || movement_ahead(fault, ready) > options.warm_up.drift_own_sd;
  judge_alarms(row, trial, out, tally);
  for (std::size_t i = 0; i < out.tags.size(); ++i) {
    if (out.tags[i].phase == Phase::kWarmUp) continue;
    const bool thrown = out.tags[i].verdict == Verdict::kDiscard;
    const bool good =
        !trial.misfeed[i] && !is_changed(row.fault, out.tags[i].feed);
    tally.changed += is_changed(row.fault, out.tags[i].feed);
    tally.changed_kept += is_changed(row.fault, out.tags[i].feed) &&
                          out.tags[i].verdict == Verdict::kKeep;
    tally.misfeeds += trial.misfeed[i];
    tally.misfeeds_found += trial.misfeed[i] && thrown;
    tally.good += good;
    tally.good_lost += good && thrown;
    tally.good_in_review += good && out.tags[i].verdict == Verdict::kReview;
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
      "| %s | %s | %s | %d, %d | %s | %s | %s | %s | %s | %s | %s | %s | %s "
      "|\n",
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
      percent(r.good_lost, r.good).c_str(),
      percent(r.good_in_review, r.good).c_str(),
      percent(r.changed_kept, r.changed).c_str(),
      percent(r.told, r.sessions).c_str());
  std::fflush(stdout);
}

// What is neither a drift nor a step, and values as other instruments give.
void add_patterns(
    const std::function<void(const std::string&, const LauncherFault&)>& add) {
  LauncherFault fault;
  char name[64];
  for (const int swing : {2, 3}) {
    for (const int period : {20, 40, 80}) {
      fault = {};
      fault.swing = swing;
      fault.period = period;
      std::snprintf(
          name, sizeof name, "swing of %d sd, period %d", swing, period);
      add(name, fault);
    }
  }
  fault = {};
  fault.alternate = 4;
  add("every second feed 4 sd further", fault);
  fault = {};
  fault.shrink = 3;
  add("spread 3 x to 1 x, tau 40", fault);
  fault = {};
  fault.memory = 0.6;
  add("autocorrelation 0.6", fault);
  fault = {};
  fault.tails = 3;
  add("heavy tails (t3)", fault);
  for (const double steps : {0.2, 1.0, 2.0}) {
    fault = {};
    fault.rounding = steps;
    std::snprintf(name, sizeof name, "values in steps of %g sd", steps);
    add(name, fault);
  }
  fault = {};
  fault.missing = 0.2;
  add("20 % of the values missing", fault);
  fault.step = 2;
  add("the same, step of 2 sd", fault);
  fault = {};
  fault.misfeeds = 0.1;
  add("10 % mis-feeds", fault);
}

void add_recorded(std::vector<Row>& all) {
  if (real_data_folder() == nullptr) return;
  const CsvTable runs = real_runs_table();
  for (const char* run :
       {"gun_2019_07_b", "gun_2019_10", "wheels_nospin_1140"}) {
    const TrialTable table = real_run(runs, run, true);
    Eigen::MatrixXd x(table.rows(), 3);
    for (int i = 0; i < table.rows(); ++i) {
      const double t = i;
      x.row(i) << 1, t, t * t;
    }
    all.push_back(
        {std::string("recorded: ") + run,
         {},
         0,
         table.values - x * x.colPivHouseholderQr().solve(table.values)});
  }
}

std::vector<Row> rows() {
  std::vector<Row> all;
  const auto add = [&](const std::string& name, const LauncherFault& fault) {
    all.push_back({name, fault, 0, {}});
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
  for (const int lasts : {5, 15, 21}) {
    for (const int step : {2, 3}) {
      fault = {};
      fault.step = step;
      fault.step_feeds = lasts;
      add("step of " + std::to_string(step) + " sd for " +
              std::to_string(lasts) + " feeds",
          fault);
    }
  }
  fault = {};
  fault.growth = 1.5;
  add("spread grown by half", fault);
  all.push_back({"spread 1.05 x its tolerance", {}, 1 / 1.05, {}});
  all.push_back({"spread 1.3 x its tolerance", {}, 1 / 1.3, {}});
  add_patterns(add);
  add_recorded(all);
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
      "| dated | mis-feeds | thrown away | review | kept | told |\n"
      "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n",
      sessions,
      feeds);
  const auto start = std::chrono::steady_clock::now();
  std::uint64_t number = 0;
  const std::string only = argc > 3 ? argv[3] : "";
  for (const Row& row : rows()) {
    ++number;
    if (row.name.find(only) == std::string::npos) continue;
    print(row, measure(row, sessions, feeds, number));
  }
  std::printf("\n%.0f s\n", ms_since(start) / 1000);
  if (only.empty()) print_time_of_a_feed();
  return 0;
}
